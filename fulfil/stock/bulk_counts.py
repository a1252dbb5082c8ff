"""Counting in bulk: goods that come in by the tub, and what lies in a bin.

Nothing resolves 40,000 pieces to the piece: the books get the best estimate and the paper says the 95 % interval, what
it leaves open in money, and which sample would narrow it (:mod:`fulfil.weighing.bulk`). A bin's count by weight changes
the books only when it disagrees *and* its interval is as narrow as was asked for; a count by hand always does. A weight
that no whole number of pieces has books nothing: the tare is wrong, or something else is in the tub or bin.

A bin that is topped up from another lot takes the new lot's number: nobody has sampled the mixture, so its bags are
planned with the spread of lots added until someone does.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_EVEN, Decimal

from fulfil.counting.count_lines import scale_of
from fulfil.counting.lot_weights import LotWeight, lot_weight
from fulfil.counting.readings import scale_for
from fulfil.errors import QuantityRefused, Refusal, UnknownRefused, WeighingRefused
from fulfil.records.equipment import ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.part import Part
from fulfil.records.pieces import There, bin_move
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.standards import iso4217
from fulfil.stock.levels import over_promised
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.bulk import BulkCount, estimate_tubs, sample_for_half_width
from fulfil.weighing.cycle_count import CycleCount, compare_with_book

NARROW = 0.005
"""Half-width that a bulk count should have, as a share of the pieces, when none is asked for (common practice)."""
NO_WEIGHT = "a unit weight; sample it first: count out 50 pieces, weigh them, fulfil parts sample"


@dataclass(frozen=True)
class BulkCounted:
    """Pieces in bulk: the estimate, what its interval leaves open in money, how to narrow it, and the bin as it is now.

    ``cost`` is in major units of ``currency``. With ``findings`` nothing was booked.
    """

    counted: BulkCount
    scale_code: str
    cost: Decimal
    currency: str
    remedy: str
    place: Bin
    notes: tuple[str, ...]
    findings: tuple[Finding, ...] = ()


@dataclass(frozen=True)
class BinCounted:
    """A bin's count: by the books before, as counted, what was booked; by weight also what the weight says."""

    place: Bin
    book_pieces: int
    booked: int
    sentence: str
    must_act: bool
    counted: BulkCount | None = None
    remedy: str = ""
    findings: tuple[Finding, ...] = ()


def goods_in(
    shop: Shop,
    part_number: str,
    gross_g: Sequence[Decimal],
    tare_g: Sequence[Decimal],
    *,
    bin_code: str,
    at: datetime,
    person: str,
    source: str = "",
    lot: str = "",
    scale_code: str = "",
    half_width_pieces: int = 0,
) -> BulkCounted:
    """Counts tubs of one part by weight and books the estimate into a bin.

    Each tub is weighed by itself: one gross each, one tare each or one for all.

    Raises:
        UnknownRefused: no such part, bin or scale, or a part without a unit weight.
        StateRefused: the bin holds another part.
        WeighingRefused: a reading that can't be: says what to do at the bench.
    """
    with shop.writing() as books:
        part = books.need(Part, part_number)
        place = books.need(Bin, bin_code)
        weight = _weight(books, part_number, lot or place.lot)
        counted, scale = _bulk(books, weight, gross_g, tare_g, scale_code)
        if counted.pieces < 1:
            raise WeighingRefused("book goods of", f"{counted.net_g:g} g", "the weight of one piece at least")
        notes = [weight.note] if weight.note else []
        if not weight.record.may_accept:
            notes.append(f"unit weight from {weight.record.source}, not from pieces: sample it, then weigh again")
        findings = _no_whole_number(part_number, counted)
        if not findings:
            move = bin_move(
                part_number=part_number,
                bin_code=bin_code,
                pieces=counted.pieces,
                reason="goods in",
                source=(f"{source}: " if source else "") + counted.sentence,
                other=There.SUPPLIER,
            )
            if lot and lot != place.lot:
                if place.pieces:
                    notes.append(
                        f"bin {bin_code} held lot {place.lot or 'unknown'}; mixed with lot {lot}: sample it again"
                    )
                books.replace([revised(place, {"lot": lot})])
            books.move(stock=[move], at=at, person=person)
        books.add(_weighings(part_number, bin_code, lot or place.lot, gross_g, tare_g, counted, scale, at, person))
        if findings:
            _journal(books, Happening.NO_WHOLE_NUMBER, bin_code, counted, 0, at, person)
        else:
            _journal(books, Happening.GOODS_IN, bin_code, counted, counted.pieces, at, person)
        place = books.need(Bin, bin_code)
        remedy = _remedy(weight, counted, scale, half_width_pieces)
    exponent = iso4217.minor_digits(part.currency)
    price = Decimal(part.price_minor).scaleb(-exponent)
    cost = counted.cost_of_interval(price).quantize(Decimal(1).scaleb(-exponent), ROUND_HALF_EVEN)
    return BulkCounted(counted, scale.code, cost, part.currency, remedy, place, tuple(notes), findings)


def count_bin_by_weight(
    shop: Shop,
    bin_code: str,
    gross_g: Decimal,
    tare_g: Decimal,
    *,
    at: datetime,
    person: str,
    scale_code: str = "",
    reason: str = "",
    tolerance_pieces: int = 0,
) -> BinCounted:
    """Holds a bin's weight against its books; books the difference where the weight decides it.

    ``tolerance_pieces`` is the widest half of an interval that decides.

    Raises:
        UnknownRefused, WeighingRefused: as :func:`goods_in`.
    """
    with shop.writing() as books:
        place = books.need(Bin, bin_code)
        weight = _weight(books, place.part_number, place.lot)
        counted, scale = _bulk(books, weight, [gross_g], [tare_g], scale_code)
        compared = compare_with_book(counted, place.pieces, tolerance_pieces=tolerance_pieces)
        is_booked = compared.is_decisive and not compared.agrees
        booked = compared.difference if is_booked else 0
        if booked:
            _book(books, place, booked, reason or counted.sentence, at, person)
        books.add(_weighings(place.part_number, bin_code, place.lot, [gross_g], [tare_g], counted, scale, at, person))
        odd = _no_whole_number(place.part_number, counted)
        happened = Happening.NO_WHOLE_NUMBER if odd else Happening.BIN_COUNTED
        _journal(books, happened, bin_code, counted, booked, at, person)
        remedy = "" if compared.is_decisive or odd else _remedy(weight, counted, scale, tolerance_pieces)
        now = books.need(Bin, bin_code)
        findings = (*odd, *over_promised(books, bin_code, now.pieces))
    return BinCounted(
        place=now,
        book_pieces=place.pieces,
        booked=booked,
        sentence=_sentence(compared, counted, place.pieces, booked),
        must_act=not (compared.is_decisive and (compared.agrees or is_booked)),
        counted=counted,
        remedy=remedy,
        findings=findings,
    )


def count_bin_by_hand(
    shop: Shop, bin_code: str, counted: int, *, at: datetime, person: str, reason: str = ""
) -> BinCounted:
    """Books what a person counted.

    Raises:
        UnknownRefused: no such bin.
        QuantityRefused: a count below zero.
    """
    if counted < 0:
        raise QuantityRefused("count a bin as", counted, "0 pieces or more")
    with shop.writing() as books:
        place = books.need(Bin, bin_code)
        difference = counted - place.pieces
        if difference:
            _book(books, place, difference, reason or "counted by hand", at, person)
        books.journal(
            at=at,
            person=person,
            event=Happening.BIN_COUNTED,
            subject=bin_code,
            particulars={"book": place.pieces, "counted": counted, "booked": difference, "reason": reason},
        )
        now = books.need(Bin, bin_code)
        findings = over_promised(books, bin_code, now.pieces)
    sentence = f"The book's {place.pieces} are right."
    if difference:
        word = "more" if difference > 0 else "fewer"
        sentence = f"{abs(difference)} {word} than the book's {place.pieces}: booked, {counted} now."
    return BinCounted(now, place.pieces, difference, sentence, must_act=False, findings=findings)


def _no_whole_number(part_number: str, counted: BulkCount) -> tuple[Finding, ...]:
    """A weight that no whole number of these pieces has, as a thing to do."""
    if counted.fits_a_whole_number:
        return ()
    return (
        Finding(
            source=f"part {part_number}",
            line=None,
            field="pieces by weight",
            value=f"{counted.odd_pieces:.2f}",
            says=f"no whole number of pieces fits (s.d. {counted.odd_u:.2g} pieces), and nothing was booked",
            do="weigh the empty tub again, look for foreign matter and for another part, then weigh again or count by "
            "hand; if it stays, sample the lot again",
        ),
    )


def _weight(books: Books, part_number: str, lot: str) -> LotWeight:
    weight = lot_weight(books, part_number, lot)
    if weight is None:
        raise UnknownRefused("count by weight the part", part_number, NO_WEIGHT)
    return weight


def _bulk(
    books: Books, weight: LotWeight, gross_g: Sequence[Decimal], tare_g: Sequence[Decimal], scale_code: str
) -> tuple[BulkCount, ScaleRecord]:
    tares = [*tare_g] * len(gross_g) if len(tare_g) == 1 else [*tare_g]
    if not gross_g or len(tares) != len(gross_g):
        raise WeighingRefused("count tubs with tares", len(tare_g), f"one for all or one for each of {len(gross_g)}")
    record = scale_for(books, scale_code, [*gross_g, *tares])
    scale = scale_of(record)
    for number, gross in enumerate(gross_g):
        scale.net_g(gross, tares[number])
    heaviest = float(max(gross_g))
    estimate = weight.estimate
    counted = estimate_tubs(
        [float(gross) for gross in gross_g],
        [float(tare) for tare in tares],
        unit_weight_g=estimate.mean_g,
        unit_weight_u_g=estimate.u_g,
        piece_sd_g=estimate.piece_sd_g,
        # Gross and tare are two indications of one scale.
        indication_u_g=float(scale.net_window_u_g(heaviest)),
        min_load_g=float(record.min_g),
    )
    return counted, record


def _remedy(weight: LotWeight, counted: BulkCount, scale: ScaleRecord, half_width_pieces: int) -> str:
    """Which sample brings the interval to the half-width asked for, or to half a percent; else what is in the way."""
    wanted = half_width_pieces or max(1, round(NARROW * counted.pieces))
    if (counted.upper - counted.lower) / 2 <= wanted:
        return ""
    estimate = weight.estimate
    try:
        n = sample_for_half_width(
            counted.pieces,
            wanted,
            unit_weight_g=estimate.mean_g,
            piece_sd_g=estimate.piece_sd_g,
            indication_u_g=counted.weighing_u * estimate.mean_g,
            sample_u_g=float(scale_of(scale).net_window_u_g(estimate.mean_g)),
        )
    except Refusal as trouble:
        return f"±{wanted} pieces can't be had from one weighing: expected {trouble.expected}."
    return f"A sample of {n} pieces would bring it to ±{wanted}; now {estimate.sample_pieces}."


def _book(books: Books, place: Bin, pieces: int, source: str, at: datetime, person: str) -> None:
    move = bin_move(part_number=place.part_number, bin_code=place.code, pieces=pieces, reason="counted", source=source)
    books.move(stock=[move], at=at, person=person)


def _weighings(
    part_number: str,
    bin_code: str,
    lot: str,
    gross_g: Sequence[Decimal],
    tare_g: Sequence[Decimal],
    counted: BulkCount,
    scale: ScaleRecord,
    at: datetime,
    person: str,
) -> list[WeighingRecord]:
    tares = [*tare_g] * len(gross_g) if len(tare_g) == 1 else [*tare_g]
    return [
        WeighingRecord(
            at=at,
            person=person,
            scale_code=scale.code,
            kind=WeighedKind.BULK,
            subject=bin_code,
            part_number=part_number,
            lot=lot,
            pieces=counted.pieces if len(gross_g) == 1 else 0,
            indication_g=gross,
            tare_g=tare,
            verdict=Verdict.PASSED if counted.fits_a_whole_number else Verdict.LOOK,
            reason=counted.sentence,
        )
        for gross, tare in zip(gross_g, tares, strict=True)
    ]


def _journal(
    books: Books, event: Happening, bin_code: str, counted: BulkCount, booked: int, at: datetime, person: str
) -> None:
    books.journal(
        at=at,
        person=person,
        event=event,
        subject=bin_code,
        particulars={
            "pieces": counted.pieces,
            "lower": counted.lower,
            "upper": counted.upper,
            "net_g": round(counted.net_g, 6),
            "booked": booked,
        },
    )


def _sentence(compared: CycleCount, counted: BulkCount, book_pieces: int, booked: int) -> str:
    if not booked:
        return compared.sentence
    word = "more" if booked > 0 else "fewer"
    return f"{abs(booked)} {word} than the book's {book_pieces} ({counted.sentence[:-1]}): booked."
