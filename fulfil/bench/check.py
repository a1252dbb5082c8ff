"""Check one bag: by its weight, by the checker's own count, or by what the checker saw.

A bag that passes leaves its bin in the books; one that doesn't goes back with the likely cause, on a slip
(:mod:`fulfil.orders.recounts`). When the last bag of an order has passed, the order is checked and may be packed; a bag
sent back for the third time holds its order until a person decides.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from decimal import Decimal
from math import hypot, sqrt

from fulfil.bench.checkers import must_not_be_picker
from fulfil.checking.bag import BagVerdict, judge_hand_count, judge_look, judge_weight, pass_unchecked, sent_back
from fulfil.counting.count_lines import bag_tare_u_g, scale_of
from fulfil.counting.lot_weights import lot_weight
from fulfil.counting.mistake_rates import shop_priors
from fulfil.counting.readings import must_be_shown, scale_for
from fulfil.counting.told_pours import Pour, Told, tell_pours
from fulfil.errors import StateRefused, WeighingRefused
from fulfil.orders.gates import STAYS
from fulfil.orders.moving import hold, pass_bag, unpass_bag
from fulfil.orders.recounts import close_recounts, write_recount
from fulfil.quantities import as_shown
from fulfil.records.bench import RecountState, SentBackFor
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.text import cut
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shop.clock import local_time
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.weighing.causes.diagnosis import explain_bag
from fulfil.weighing.causes.ranking import Cause, worth_a_line
from fulfil.weighing.lookalike import LookAlikeIndex

CLOCKS_MAY_DIFFER = timedelta(minutes=10)
"""Of a bench and the planner's computer (common practice)."""


@dataclass(frozen=True)
class Seen:
    """What the checker found out about a bag: an indication, an own count, something wrong to the eye, or several.

    ``gross_g`` is what the scale shows: with the bag, or where the bag's method is net the pieces alone, in a cup that
    was tared. ``pours`` are a bag told in lots (:mod:`fulfil.counting.told_pours`).
    ``unchecked_by`` is the statement of the sampling plan that lets the bag through; it stands alone.
    """

    gross_g: Decimal | None = None
    counted: int | None = None
    looks_wrong: str = ""
    is_damaged: bool = False
    scale_code: str = ""
    unchecked_by: str = ""
    pours: tuple[Pour, ...] = ()


@dataclass(frozen=True)
class BagCheck:
    """The bag as it is now, the verdict on it, whether its whole order is checked, and the slip's number if it has one.

    ``order_is_held`` says that the bag came back for the third time. ``bin_lacked`` are pieces that this count has
    proven to be there though the books had none of them left in the bin: count what is left in it.
    """

    bag: Bag
    verdict: BagVerdict
    order_is_checked: bool
    recount_number: str = ""
    order_is_held: bool = False
    bin_lacked: int = 0


def check_bag(
    shop: Shop,
    code: str,
    seen: Seen,
    *,
    at: datetime,
    person: str,
    is_simulated: bool = False,
    index: Callable[[Books], LookAlikeIndex] = look_alike_index,
) -> BagCheck:
    """Checks a bag and writes the weighing, the verdict and what follows from it.

    ``index`` gives the look-alikes to name when a weight is off; it is asked only then.

    Raises:
        UnknownRefused: when no bag has the code, or no scale the name.
        StateRefused: when the bag isn't waiting for a check, or who checks has picked its walk.
        WeighingRefused: when the reading can't be the scale's, or nothing was weighed, counted or seen.
    """
    with shop.writing() as books:
        return check_within(books, code, seen, at=at, person=person, is_simulated=is_simulated, index=index)


def check_within(
    books: Books,
    code: str,
    seen: Seen,
    *,
    at: datetime,
    person: str,
    is_simulated: bool = False,
    index: Callable[[Books], LookAlikeIndex] = look_alike_index,
) -> BagCheck:
    """:func:`check_bag` inside the caller's transaction."""
    bag = books.need(Bag, code)
    must_wait_for_check(books, bag)
    _must_be_on_paper_by(books, bag, at)
    must_not_be_picker(books, bag.walk_number, person)
    scale = _scale(books, bag, seen)
    verdict = _judge(books, bag, seen, scale, index)
    (bag,) = books.change([bag], _judged(bag, seen, scale, verdict, books.need(BagType, bag.bag_type)))
    if (shown_g := _shown_g(seen)) is not None and scale is not None:
        weighing = WeighingRecord(
            at=at,
            person=person,
            scale_code=scale.code,
            kind=WeighedKind.BAG,
            subject=bag.code,
            part_number=bag.part_number,
            lot=bag.lot,
            pieces=bag.pieces,
            was_counted=seen.counted is not None,
            indication_g=shown_g,
            tare_g=Decimal(0) if _is_net(bag, seen) else bag.tare_g,
            verdict=verdict.verdict,
            reason=cut(verdict.reason),
            is_simulated=is_simulated,
        )
        books.add([weighing])
    books.journal(
        at=at,
        person=person,
        event=Happening.BAG_CHECKED,
        subject=bag.code,
        particulars={"verdict": verdict.verdict, "reason": verdict.reason, "causes": verdict.likely_causes},
        is_simulated=is_simulated,
    )
    if verdict.verdict is Verdict.PASSED:
        lacked = pass_bag(books, bag, at=at, person=person)
        close_recounts(books, bag.code, RecountState.DONE)
        order = books.need(Order, bag.order_number)
        return BagCheck(bag, verdict, order.state is OrderState.CHECKED, bin_lacked=lacked)
    number = ""
    if verdict.sent_back_for is not None:
        number = write_recount(books, bag, verdict, at=at, is_simulated=is_simulated)
    is_held = verdict.verdict is Verdict.STOP
    if is_held:
        _hold(books, bag, verdict.reason, at, person)
    return BagCheck(bag, verdict, False, number, is_held)


def undo_check(books: Books, code: str, *, at: datetime, person: str) -> Bag:
    """Takes the last verdict on a bag back: it waits for its check as before, its pieces are in their bin again.

    What was weighed stays recorded; the journal says that its verdict doesn't hold.

    Raises:
        UnknownRefused: when no bag has the code.
        StateRefused: when the bag has no verdict, is in a box already, or its order doesn't go on.
    """
    bag = books.need(Bag, code)
    if bag.state not in (BagState.PASSED, BagState.RECOUNT, BagState.LOOK):
        raise StateRefused(
            "undo the check of bag", code, f"a bag with a verdict, not in a box; this one is {bag.state}"
        )
    order = books.need(Order, bag.order_number)
    if order.state not in (OrderState.RELEASED, OrderState.PICKED, OrderState.CHECKED):
        raise StateRefused("undo the check of bag", code, f"an order at the bench; {order.number} is {order.state}")
    if bag.state is BagState.PASSED:
        unpass_bag(books, bag, at=at, person=person)
    close_recounts(books, bag.code, RecountState.UNDONE)
    update = {"state": BagState.PLANNED, "checks": bag.checks - 1, "gross_g": None, "gross_u_g": None}
    (undone,) = books.change([bag], update)
    books.journal(at=at, person=person, event=Happening.CHECK_UNDONE, subject=code, particulars={"was": bag.state})
    return undone


def must_wait_for_check(books: Books, bag: Bag) -> None:
    """Refuses a bag that isn't waiting for a check."""
    if books.need(WalkRecord, bag.walk_number).released_at is None:
        raise StateRefused("check bag", bag.code, f"its walk {bag.walk_number} to be released first")
    if bag.state not in (BagState.PLANNED, BagState.RECOUNT, BagState.LOOK, BagState.STOP):
        raise StateRefused("check bag", bag.code, f"a bag that waits for its check; this one is {bag.state}")
    order = books.need(Order, bag.order_number)
    if order.state in STAYS:
        raise StateRefused("check bag", bag.code, f"an order that goes on; order {order.number} is {order.state}")


def _must_be_on_paper_by(books: Books, bag: Bag, at: datetime) -> None:
    """Refuses a check from before the bag's walk was released: some clock is wrong, and the record would be."""
    released_at = books.need(WalkRecord, bag.walk_number).released_at
    if released_at is not None and at < released_at - CLOCKS_MAY_DIFFER:
        settings = books.settings()
        expected = f"a time after {local_time(released_at, settings)}, when its walk was released; set the clock"
        raise StateRefused("check bag", bag.code, f"{expected}: it says {local_time(at, settings)}")


def _shown_g(seen: Seen) -> Decimal | None:
    """What the scale showed, of several pours their sum."""
    return sum((pour.net_g for pour in seen.pours), Decimal(0)) if seen.pours else seen.gross_g


def _is_net(bag: Bag, seen: Seen) -> bool:
    """Whether the scale was tared."""
    return bool(seen.pours) or bag.method.is_net


def _scale(books: Books, bag: Bag, seen: Seen) -> ScaleRecord | None:
    if seen.pours:
        return scale_for(books, seen.scale_code or bag.scale_code, [pour.net_g for pour in seen.pours])
    if seen.gross_g is None:
        return None
    scale = scale_for(books, seen.scale_code or bag.scale_code, [seen.gross_g])
    must_be_shown(scale, seen.gross_g, may_be_too_light=bag.lower_g is not None)
    return scale


def _judge(
    books: Books,
    bag: Bag,
    seen: Seen,
    scale: ScaleRecord | None,
    index: Callable[[Books], LookAlikeIndex],
) -> BagVerdict:
    """The verdict by the strongest evidence: eyes before a hand count before a weight."""
    if seen.unchecked_by:
        return pass_unchecked(seen.unchecked_by)
    if seen.looks_wrong:
        return judge_look(seen.looks_wrong, checks_before=bag.checks, is_damaged=seen.is_damaged)
    if seen.counted is not None:
        return judge_hand_count(seen.counted, pieces=bag.pieces, checks_before=bag.checks)
    if seen.pours and scale is not None:
        return _judge_pours(tell_pours(books, bag, seen.pours, scale), bag, scale)
    if bag.method is CountMethod.POUR:
        expected = f"its pours: pour it into a tared cup, at most {bag.pour_pieces} pieces at once, tare before each"
        raise WeighingRefused("check bag", bag.code, expected)
    if seen.gross_g is None or scale is None:
        needed = "a gross weight or a count by hand"
        if bag.method.is_net:
            needed = "what a tared scale shows for its pieces alone, or a count by hand"
        raise WeighingRefused("check bag", bag.code, needed if bag.method.is_weighed else "a count by hand")
    if bag.lower_g is None or bag.upper_g is None:
        return BagVerdict(Verdict.LOOK, f"no weight can prove this count ({bag.reason}): count it by hand")
    if scale.code != bag.scale_code:
        raise WeighingRefused(
            "weigh the bag on scale", scale.code, f"scale {bag.scale_code}, for which the window was made"
        )
    lower_g, upper_g = as_shown(bag.lower_g, scale.d_g), as_shown(bag.upper_g, scale.d_g)
    tare_g = Decimal(0) if bag.method.is_net else bag.tare_g
    verdict = judge_weight(seen.gross_g, lower_g, upper_g, pieces=bag.pieces, checks_before=bag.checks, tare_g=tare_g)
    if verdict.verdict is Verdict.PASSED:
        return verdict
    return _explained(verdict, books, bag, seen.gross_g, scale, index(books))


def _judge_pours(told: Told, bag: Bag, scale: ScaleRecord) -> BagVerdict:
    """The verdict on a bag that was poured out in lots: right when they make up its pieces."""
    if told.unproven:
        raise WeighingRefused("check bag", bag.code, f"proof of the first lot: {told.unproven}")
    pieces = told.pieces
    if pieces is None:
        return sent_back(f"poured out on {scale.code}: {told.trouble}", bag.checks, SentBackFor.WEIGHT)
    said = f"poured out on {scale.code}: {told.sum_words} = {pieces} pieces" if told.counts[1:] else f"{pieces} pieces"
    if pieces == bag.pieces:
        return BagVerdict(Verdict.PASSED, f"{said}, as ordered")
    off = pieces - bag.pieces
    side = "short" if off < 0 else "over"
    back = sent_back(f"{said}, {abs(off)} {side} of {bag.pieces}", bag.checks, SentBackFor.COUNT)
    return replace(back, pieces_off=off)


def _explained(
    verdict: BagVerdict, books: Books, bag: Bag, gross_g: Decimal, scale: ScaleRecord, index: LookAlikeIndex
) -> BagVerdict:
    """The verdict with the most likely explanations of a weight that is off, as sentences with probabilities."""
    weight = lot_weight(books, bag.part_number, bag.lot)
    unit_weight = books.need(UnitWeight, bag.part_number, "") if weight is None else weight.record
    bag_types = books.find(BagType)
    tare_sd_g = next(bag_type.tare_sd_g for bag_type in bag_types if bag_type.code == bag.bag_type)
    others = sorted(
        {
            (other.part_number, other.pieces)
            for other in books.find(Bag, walk_number=bag.walk_number, stop_no=_near(bag))
        }
        - {(bag.part_number, bag.pieces)}
    )
    one = scale_of(scale)
    indication_u_g = one.indication_u_g(float(gross_g))
    if bag.method.is_net:
        # A scale that was tared with the bag, or not at all: the tare is exact, or there once more.
        gross_g, tare_sd_g, indication_u_g = gross_g + bag.tare_g, 0.0, one.net_u_g(float(gross_g))
    found = explain_bag(
        float(gross_g),
        part_number=bag.part_number,
        pieces=bag.pieces,
        unit_weight_g=unit_weight.mean_g,
        unit_weight_u_g=unit_weight.u_g,
        piece_sd_g=unit_weight.piece_sd_g,
        indication_u_g=indication_u_g,
        tare_g=float(bag.tare_g),
        tare_sd_g=tare_sd_g,
        other_lines=others,
        other_bag_tares_g=[(other.code, float(other.tare_g)) for other in bag_types if other.code != bag.bag_type],
        catalogue=index,
        priors=shop_priors(books),
    )
    return replace(
        verdict,
        likely_causes=tuple(cause.told for cause in worth_a_line(found)),
        likely_cause=found[0].cause.value if found else "",
        other_part=next((cause.subject for cause in found[:2] if cause.cause is Cause.LOOK_ALIKE), ""),
    )


def _judged(
    bag: Bag, seen: Seen, scale: ScaleRecord | None, verdict: BagVerdict, bag_type: BagType
) -> dict[str, object]:
    """The bag's new state, and its own mass if it passed on a scale; with its bag, by type where that was tared."""
    gross_g, u_g = None, None
    shown_g = _shown_g(seen)
    if verdict.verdict is Verdict.PASSED and shown_g is not None and scale is not None:
        one = scale_of(scale)
        gross_g, u_g = shown_g, one.indication_u_g(float(shown_g))
        if _is_net(bag, seen):
            readings_u_g = sqrt(max(1, len(seen.pours))) * one.net_u_g(float(shown_g))
            gross_g, u_g = shown_g + bag.tare_g, hypot(readings_u_g, bag_tare_u_g(bag_type))
    return {
        "state": BagState(verdict.verdict.value),
        "checks": bag.checks + 1,
        "gross_g": gross_g,
        "gross_u_g": u_g,
    }


def _hold(books: Books, bag: Bag, reason: str, at: datetime, person: str) -> None:
    """Three times is enough: the order is held, and whoever lets it go on decides."""
    order = books.need(Order, bag.order_number)
    why = cut(f"bag {bag.code}: {reason}")
    hold(books, order, why, at=at, person=person)
    particulars = {"from": order.state, "reason": why}
    books.journal(at=at, person=person, event=Happening.ORDER_HELD, subject=order.number, particulars=particulars)


def _near(bag: Bag) -> list[int]:
    """The stops whose bags lie beside this one at the bench."""
    return [bag.stop_no - 1, bag.stop_no, bag.stop_no + 1]
