"""The evening's replenishment list as a sheet: what is fetched, how it is counted, what is filled with it."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date

from fulfil.counting.bench_of_day import bench_of_day
from fulfil.counting.count_lines import Bench, Counted, count_line
from fulfil.counting.lot_weights import lot_weight
from fulfil.papers.elements.weight_cell import HAND, aim_words, weight_texts
from fulfil.papers.repeated import LIFT, caution_words, part_words
from fulfil.papers.sheet import head
from fulfil.papers.stock.replenishment_list import NUMBERED, FetchRow, FillRow, ReplenishmentListSheet
from fulfil.quantities import print_metres
from fulfil.records.part import Part
from fulfil.shop.asking import from_books
from fulfil.standards import dangerous_goods
from fulfil.stock.replenishing import Refill, Refills, refills
from fulfil.store.books import Books
from fulfil.walks.papers import hand_words

FOR_DAYS = 5
"""For how many usual days picking bins are filled up, where nobody says: a working week (judgement)."""
ALL = "Take all of it"
HEAVY = "HEAVY"
"""The one word of the lifting caution beside a row; the sentence stands once, at the head."""


def replenishment_sheet(books: Books, *, day: date, days: int = FOR_DAYS) -> ReplenishmentListSheet:
    """What to bring in the evening of a day."""
    return sheet_of(books, refills(books, day=day, days=days), day=day, days=days)


def sheet_of(books: Books, found: Refills, *, day: date, days: int) -> ReplenishmentListSheet:
    """The list of what was found."""
    settings = books.settings()
    bench = bench_of_day(books, day)
    numbers = sorted({row.from_bin.part_number for row in found.rows})
    parts = {part.number: part for part in books.find(Part, number=numbers)} if numbers else {}
    fetch = tuple(
        _fetch(books, no, row, parts[row.from_bin.part_number], bench) for no, row in enumerate(found.rows, start=1)
    )
    hazards = {word for part in parts.values() for word in part.hazard_words}
    lift = (
        (f"{LIFT} What is heavy belongs between hip and chest.",) if any(HEAVY in one.cautions for one in fetch) else ()
    )
    return ReplenishmentListSheet(
        **head(settings, NUMBERED.number(day), day),
        for_days=days,
        fetch=fetch,
        fill=tuple(_fill(code, found, parts) for code in found.filling),
        fetch_m=print_metres(found.fetch_mm),
        fill_m=print_metres(found.fill_mm),
        cautions=(*lift, *dangerous_goods.cautions(hazards)),
    )


def _fetch(books: Books, no: int, row: Refill, part: Part, bench: Bench) -> FetchRow:
    weight = lot_weight(books, part.number, row.from_bin.lot)
    counted = () if row.is_all else count_line(part, weight, row.pieces, bench)
    mass_g = 0.0 if weight is None else row.pieces * weight.record.mean_g
    heavy = (HEAVY,) if mass_g >= bench.settings.lift_caution_g else ()
    usual = row.usual
    return FetchRow(
        no=no,
        bin_code=row.from_bin.code,
        **part_words(part),
        lot=row.from_bin.lot,
        pieces=row.pieces,
        counts=(("", ALL, ""),) if row.is_all else _counts(counted),
        why=f"{row.free} left; a day takes {usual.mean:.1f} ± {usual.u:.1f}, at most {usual.most}"
        f" on {100 * usual.chance:.0f} % of days",
        cautions=(*caution_words(part), *heavy),
    )


def _counts(bags: Sequence[Counted]) -> tuple[tuple[str, str, str], ...]:
    """The ways to count, each once with how many bags are counted so."""
    alike: dict[tuple[object, ...], list[Counted]] = defaultdict(list)
    for bag in bags:
        alike[bag.pieces, bag.method, bag.target_g, bag.lower_g, bag.upper_g, bag.pours, bag.reason].append(bag)
    return tuple(_count(some[0], len(some)) for some in alike.values())


def _count(one: Counted, times: int) -> tuple[str, str, str]:
    how = f"{times} bag{'s' if times > 1 else ''} of {one.pieces}"
    if one.pours > 1:
        how += f", in {one.pours} pours of {one.pieces // one.pours}"
        how += f" and {one.pieces % one.pours} by hand" if one.pieces % one.pours else ""
    if not one.method.is_weighed:
        return how, HAND, hand_words(one.reason)
    _, window = weight_texts(one.method, one.target_g, one.lower_g, one.upper_g)
    return how, window, aim_words(one.method, one.target_g)


def _fill(code: str, found: Refills, parts: dict[str, Part]) -> FillRow:
    of = [(no, row) for no, row in enumerate(found.rows, start=1) if row.to_bin.code == code]
    part = parts[of[0][1].to_bin.part_number]
    return FillRow(
        bin_code=code,
        part_number=part.number,
        description=part.description,
        pieces=sum(row.pieces for _, row in of),
        nos=tuple(no for no, _ in of),
    )


BY_NAME = (from_books(ReplenishmentListSheet, lambda books, at: (replenishment_sheet(books, day=at.date()),)),)
