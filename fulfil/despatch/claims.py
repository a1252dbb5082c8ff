"""Claims, and what the shop knows of a bag that a customer says is wrong.

*Evidence* of a bag: every weighing, the scale and its last check-weight test, the window and its risks, verdict and
checker, the weight of the package that it left in, and the probability that its count was right: by Bayes' rule over
the mistakes that happen at a bench (:mod:`fulfil.weighing.causes.bag_diagnosis`), given the weight with which it
passed. For a bag counted by hand there is no such figure, and none is made up.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from math import sqrt
from typing import TYPE_CHECKING

from fulfil.counting.count_lines import scale_of
from fulfil.counting.lot_weights import lot_weight
from fulfil.counting.mistake_rates import shop_priors
from fulfil.errors import StateRefused, WeighingRefused
from fulfil.records.despatch.claim import Claim, ClaimCause
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.despatch.goods_back import Outcome, ReturnedPieces
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import Owed, OwedBalance, StockBalance, StockMove, There, bin_move
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.records.weighing import ScaleStanding, WeighedKind, WeighingRecord
from fulfil.shop.clock import day_span
from fulfil.shop.numbers import next_code_at
from fulfil.stock.jobs import count_by_weight
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.causes.bag_diagnosis import explain_bag
from fulfil.weighing.causes.ranking import Cause

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class BagEvidence:
    """What is known of one bag; ``p_right`` is None where no weight tells; the package is None before it is boxed."""

    bag: Bag
    weighings: tuple[WeighingRecord, ...]
    checks: tuple[JournalEntry, ...]
    standing: ScaleStanding | None
    p_right: float | None
    package: Package | None
    package_weighings: tuple[WeighingRecord, ...]

    @property
    def checker(self) -> str:
        """Who checked it last; empty before a check."""
        return self.checks[-1].person if self.checks else ""


@dataclass(frozen=True)
class Evidence:
    """An order's bags with their evidence, lines and bags in order, and its claims."""

    order: Order
    lines: tuple[OrderLine, ...]
    bags: tuple[BagEvidence, ...]
    claims: tuple[Claim, ...]


def evidence_of(books: Books, order_number: str, line_no: int | None = None) -> Evidence:
    """What the shop knows of an order's bags, or of one line's.

    Raises:
        UnknownRefused: no such order or line.
    """
    order = books.need(Order, order_number)
    only = {} if line_no is None else {"line_no": books.need(OrderLine, order_number, line_no).line_no}
    bags = books.find(Bag, order_number=order_number, **only)
    lines = books.find(OrderLine, order_number=order_number, **only)
    claims = books.find(Claim, order_number=order_number, **only)
    found = [_evidence(books, bag) for bag in sorted(bags, key=lambda bag: (bag.line_no, bag.code))]
    return Evidence(order, tuple(lines), tuple(found), tuple(claims))


def add_claim(
    shop: Shop,
    order_number: str,
    line_no: int,
    cause: ClaimCause,
    *,
    at: datetime,
    person: str,
    pieces: int = 0,
    says: str = "",
) -> Claim:
    """Writes down what a customer says of a line.

    Raises:
        UnknownRefused: no such order or line.
    """
    with shop.writing() as books:
        line = books.need(OrderLine, order_number, line_no)
        claim = Claim(
            number=next_code_at(books, "E", at),
            order_number=order_number,
            line_no=line_no,
            part_number=line.part_number,
            cause=cause,
            pieces=pieces,
            says=says,
            at=at,
            person=person,
        )
        books.add([claim])
        particulars = {"order": order_number, "line": line_no, "cause": cause, "pieces": pieces}
        books.journal(
            at=at, person=person, event=Happening.CLAIM_RECEIVED, subject=claim.number, particulars=particulars
        )
    return claim


def settle_claim(shop: Shop, number: str, answer: str, *, at: datetime, person: str) -> Claim:
    """Writes down what the customer was told.

    Raises:
        UnknownRefused: no such claim.
        StateRefused: it is settled, or the answer is empty.
    """
    with shop.writing() as books:
        claim = books.need(Claim, number)
        if claim.is_settled or not answer.strip():
            raise StateRefused("settle the claim", number, "an open claim and an answer")
        settled = revised(claim, {"answer": cut(answer.strip())})
        books.replace([settled])
        books.journal(
            at=at, person=person, event=Happening.CLAIM_SETTLED, subject=number, particulars={"answer": answer.strip()}
        )
    return settled


def take_back(
    shop: Shop,
    order_number: str,
    line_no: int,
    outcome: Outcome,
    reason: str,
    *,
    at: datetime,
    person: str,
    part_number: str = "",
    counted: int | None = None,
    gross_g: Decimal | None = None,
    tare_g: Decimal = Decimal(0),
    scale_code: str = "",
    bin_code: str = "",
) -> ReturnedPieces:
    """Takes returned pieces in, counted by hand or by weight, and books them back or scraps them.

    Scrapped pieces go through the ledger too, in and out again, so that they are not forgotten. A kit's parts are
    named.

    Raises:
        UnknownRefused: no such order, line, bin or scale.
        StateRefused: no reason, the part has no bin, or more came back than was sent.
        WeighingRefused: nothing was counted, or the weight can't tell the count.
    """
    with shop.writing() as books:
        line = books.need(OrderLine, order_number, line_no)
        part = part_number or line.part_number
        place = _bin(books, part, bin_code)
        pieces = counted
        if gross_g is not None:
            by_weight = count_by_weight(books, part, place.lot, gross_g, tare_g, scale_code)
            if counted is None and by_weight.lower != by_weight.upper:
                raise WeighingRefused("count returned pieces by weight", f"{gross_g} g", by_weight.sentence)
            pieces = by_weight.pieces if counted is None else counted
        if not pieces or not reason.strip():
            raise StateRefused("take back pieces of order", order_number, "a count (or a weight) and a reason")
        out = sum(_with_customer(books, order_number, part).values())
        if pieces > out:
            expected = f"at most the {out} pieces of {part} that its customer has"
            raise StateRefused(f"take back {pieces} pieces of order", order_number, expected)
        returned = ReturnedPieces(
            number=next_code_at(books, "Y", at),
            order_number=order_number,
            line_no=line_no,
            part_number=part,
            bin_code=place.code,
            pieces=pieces,
            outcome=outcome,
            reason=reason,
            at=at,
            person=person,
        )
        books.add([returned])
        moves = _back(books, order_number, part, pieces, place.code, returned.number)
        if outcome is Outcome.SCRAPPED:
            move = bin_move(
                part_number=part,
                bin_code=place.code,
                pieces=-pieces,
                reason="scrapped",
                source=returned.number,
                other=There.SCRAPPED,
            )
            moves.append(move)
        books.move(stock=moves, at=at, person=person)
        particulars = {"order": order_number, "part": part, "pieces": pieces, "outcome": outcome, "reason": reason}
        books.journal(
            at=at, person=person, event=Happening.PIECES_RETURNED, subject=returned.number, particulars=particulars
        )
    return returned


def claim_frame(books: Books, *, since: date | None = None) -> "pd.DataFrame":
    """Claims by part and cause, the most first: how many, and how many pieces they were about.

    ``since`` leaves out claims taken down before that day, by the shop's clock.
    """
    import pandas as pd

    start = None if since is None else day_span(since, books.settings())[0]
    found = books.between(Claim, "at", start)
    rows = [(one.part_number, one.cause.value, one.pieces) for one in found]
    frame = pd.DataFrame(rows, columns=["part", "cause", "pieces"])
    counted = frame.groupby(["part", "cause"], as_index=False).agg(claims=("pieces", "size"), pieces=("pieces", "sum"))
    return counted.sort_values(["claims", "part", "cause"], ascending=[False, True, True], ignore_index=True)


def _evidence(books: Books, bag: Bag) -> BagEvidence:
    weighings = books.find(WeighingRecord, subject=bag.code, kind=WeighedKind.BAG)
    checks = books.find(JournalEntry, subject=bag.code, event=Happening.BAG_CHECKED)
    package = books.get(Package, bag.package_number) if bag.package_number else None
    packed = [] if package is None else books.find(WeighingRecord, subject=package.number, kind=WeighedKind.PACKAGE)
    code = weighings[-1].scale_code if weighings else bag.scale_code
    standing = books.get(ScaleStanding, code) if code else None
    return BagEvidence(bag, tuple(weighings), tuple(checks), standing, _p_right(books, bag), package, tuple(packed))


_COUNT_IS_RIGHT = (
    Cause.RIGHT,
    Cause.LOT_SHIFT,
    Cause.SCALE_ZERO,
    Cause.TARE_FORGOTTEN,
    Cause.TARE_TWICE,
    Cause.OTHER_BAG_TYPE,
)
"""What may be behind a weight without a piece more or less."""


def _p_right(books: Books, bag: Bag) -> float | None:
    """The probability that the count was right, given the weight with which the bag passed."""
    scale = books.get(ScaleRecord, bag.scale_code) if bag.scale_code else None
    weight = lot_weight(books, bag.part_number, bag.lot)
    if bag.gross_g is None or scale is None or weight is None or not weight.record.may_accept:
        return None
    tares = {bag_type.code: bag_type.tare_sd_g for bag_type in books.find(BagType)}
    one = scale_of(scale)
    indication_u_g, tare_sd_g = one.indication_u_g(float(bag.gross_g)), tares.get(bag.bag_type, 0.0)
    if bag.method.is_net:
        indication_u_g, tare_sd_g = sqrt(bag.pours) * one.net_u_g(float(bag.gross_g - bag.tare_g) / bag.pours), 0.0
    causes = explain_bag(
        float(bag.gross_g),
        part_number=bag.part_number,
        pieces=bag.pieces,
        unit_weight_g=weight.record.mean_g,
        unit_weight_u_g=weight.record.u_g,
        piece_sd_g=weight.record.piece_sd_g,
        indication_u_g=indication_u_g,
        tare_g=float(bag.tare_g),
        tare_sd_g=tare_sd_g,
        least_probability=0.0,
        priors=shop_priors(books),
    )
    return sum(one.probability for one in causes if one.cause in _COUNT_IS_RIGHT)


def _bin(books: Books, part_number: str, bin_code: str) -> Bin:
    books.need(Part, part_number)
    bins: Sequence[Bin] = [books.need(Bin, bin_code)] if bin_code else books.find(Bin, part_number=part_number)
    if not bins:
        raise StateRefused("take back pieces of", part_number, "a part with a bin; of a kit, name the part")
    return bins[0]


def _with_customer(books: Books, order_number: str, part_number: str) -> dict[str, int]:
    """What was handed over of a part to an order and has not come back, by package."""
    sent = books.find(OwedBalance, order_number=order_number, part_number=part_number, place=Owed.SHIPPED)
    numbers = sorted({one.ref for one in sent})
    out = books.find(StockBalance, place=There.HANDED_OVER, ref=numbers, part_number=part_number)
    return {one.ref: one.pieces for one in out}


def _back(
    books: Books, order_number: str, part_number: str, pieces: int, bin_code: str, source: str
) -> list[StockMove]:
    """Moves from the packages in which the pieces went out, the first ones first, into a bin."""
    moves = []
    for number, out in sorted(_with_customer(books, order_number, part_number).items()):
        n = min(pieces, out)
        if n:
            move = bin_move(
                part_number=part_number,
                bin_code=bin_code,
                pieces=n,
                reason="returned",
                source=source,
                other=There.HANDED_OVER,
                ref=number,
            )
            moves.append(move)
        pieces -= n
    return moves
