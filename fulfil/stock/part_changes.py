"""One part is added, changed or retired by itself, by the same rules as a whole catalogue.

What is typed are cells of ``parts.csv``, by the names of its columns, and they go through the reader of that file: a
change is the part's own row with some cells written anew. What the reader would find in a file is found here.

A retired part can't be ordered any more. Nothing that is owed of it is forgotten: orders are served, stock stays where
it is, and whoever retires it is told both. ``change_part(..., {"retired": "no"})`` takes it back.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.files.catalogue_written import Cells, part_cells, plain_weights
from fulfil.files.parts import PARTS, WEIGHTS, PartsRead, read_parts
from fulfil.orders.extras import PartNumbers
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.kit import KitPart
from fulfil.records.order import OrderLine
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import ENDED_PLACES, Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.shop.typed_row import Differences, differences, said_of, typed_row
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_MOST_NAMED = 5
_WEIGHT_CELLS = {column.name for column in WEIGHTS}


@dataclass(frozen=True)
class PartChanged:
    """A part as it is now, what differs (before, now) by column, and who still wants it; nothing where findings are."""

    findings: tuple[Finding, ...]
    part: Part | None = None
    differences: Differences = ()
    tells: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def add_part(shop: Shop, number: str, cells: Mapping[str, str], *, at: datetime, person: str) -> PartChanged:
    """Adds a part; ``cells`` are those of ``parts.csv`` by column.

    Raises:
        StoreRefused: the shop can't be written; the part wasn't added.
    """
    with shop.writing() as books:
        read, findings = _read(number, {**cells, "part": number})
        if not findings:
            findings = _same_number(books, read.parts[0].number)
        if findings:
            return PartChanged(findings)
        part = read.parts[0]
        books.add([part, *read.unit_weights])
        now = part_cells(part, next(iter(read.unit_weights), None))
        changed = differences({}, now)
        books.journal(at=at, person=person, event=Happening.PART_ADDED, subject=part.number, particulars=dict(changed))
    return PartChanged((), part, changed, notes=_notes(read))


def change_part(shop: Shop, number: str, cells: Mapping[str, str], *, at: datetime, person: str) -> PartChanged:
    """Changes a part; a column that ``cells`` don't name stays, one that they give empty is emptied.

    Raises:
        UnknownRefused: there is no such part.
        StateRefused: a unit weight is given where the shop has its own.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    with shop.writing() as books:
        part = books.need(Part, number)
        weights = books.find(UnitWeight, part_number=number)
        weight = plain_weights(weights).get(number)
        before = part_cells(part, weight)
        read, findings = _read(number, {**before, **cells})
        if findings:
            return PartChanged(findings)
        now = next(iter(read.unit_weights), None)
        if _WEIGHT_CELLS & {*cells}:
            _replace_weight(books, number, weights, weight, now)
        changed = differences(before, part_cells(read.parts[0], now))
        tells = _tells(books, read.parts[0]) if read.parts[0].is_retired and not part.is_retired else ()
        if changed:
            books.replace([read.parts[0]])
            books.journal(at=at, person=person, event=Happening.PART_CHANGED, subject=number, particulars=dict(changed))
    return PartChanged((), read.parts[0], changed, tells, _notes(read))


def retire_part(shop: Shop, number: str, *, at: datetime, person: str) -> PartChanged:
    """Takes a part out of what can be ordered; says who still wants it and where it lies.

    Raises:
        UnknownRefused: there is no such part.
        StateRefused: it is retired already.
    """
    done = change_part(shop, number, {"retired": "yes"}, at=at, person=person)
    if not done.differences:
        raise StateRefused("retire the part", number, "one that isn't retired already")
    return done


def still_wanted(books: Books, numbers: Sequence[str]) -> dict[str, list[str]]:
    """Who wants these parts: open orders, kits; by part, in words, parts that nobody wants left out."""
    if not numbers:
        return {}
    wanted: dict[str, list[str]] = {}
    kits: dict[str, list[str]] = defaultdict(list)
    for one in books.find(KitPart, part_number=[*numbers]):
        if not books.need(Part, one.kit_number).is_retired:
            kits[one.part_number].append(one.kit_number)
    open_places = [place for place in Owed if place not in ENDED_PLACES]
    owed = {(one.order_number, one.line_no, one.part_number) for one in books.find(OwedBalance, place=open_places)}
    owed_lines = {(order, line_no) for order, line_no, _ in owed}
    orders: dict[str, set[str]] = defaultdict(set)
    for order, _, part in owed:
        orders[part].add(order)
    # Of a kit the book of what is owed knows the parts; who ordered the kit itself, its lines know.
    for line in books.find(OrderLine, part_number=[*numbers]):
        if (line.order_number, line.line_no) in owed_lines:
            orders[line.part_number].add(line.order_number)
    for number in numbers:
        says = []
        if number in orders:
            says.append(f"by orders {some(sorted(orders[number]))}")
        if number in kits:
            says.append(f"by kits {some(kits[number])}")
        if says:
            wanted[number] = says
    return wanted


def some(names: Iterable[str]) -> str:
    """The first few names and how many more there are.

    >>> some(["a", "b", "c", "d", "e", "f", "g"])
    'a, b, c, d, e and 2 more'
    """
    listed = [*names]
    more = f" and {len(listed) - _MOST_NAMED} more" if len(listed) > _MOST_NAMED else ""
    return ", ".join(listed[:_MOST_NAMED]) + more


def _read(number: str, cells: Cells) -> tuple[PartsRead, tuple[Finding, ...]]:
    """The row as the reader of ``parts.csv`` takes it."""
    row, file = typed_row((*PARTS, *WEIGHTS), cells, f"part {number}")
    return read_parts([row], file), said_of(file)


def _same_number(books: Books, number: str) -> tuple[Finding, ...]:
    known = PartNumbers(books).find(number)
    found = books.get(Part, known)
    if found is None:
        return ()
    do = f"fulfil parts change {known} --retired no" if found.is_retired else f"fulfil parts change {known}"
    says = f"is a part of the shop already{', retired' if found.is_retired else ''}"
    return (Finding(f"part {number}", None, "part", known, says, do),)


def _replace_weight(
    books: Books, number: str, known: Sequence[UnitWeight], before: UnitWeight | None, now: UnitWeight | None
) -> None:
    if now is not None and any(one.lot == now.lot for one in known if one is not before):
        expected = f"a weight that came from a file; the shop has weighed it itself: fulfil parts sample {number}"
        raise StateRefused("change the unit weight of the part", number, expected)
    if before is not None and (now is None or now.lot != before.lot):
        books.remove(UnitWeight, part_number=number, lot=before.lot)
    if now is not None:
        books.replace([now])


def _tells(books: Books, part: Part) -> tuple[str, ...]:
    tells = [f"It is still wanted {one}." for one in still_wanted(books, [part.number]).get(part.number, ())]
    held = [f"{place.code} ({place.pieces})" for place in books.find(Bin, part_number=part.number) if place.pieces]
    if held:
        tells.append(f"Its pieces stay in their bins: {some(held)}.")
    return tuple(tells)


def _notes(read: PartsRead) -> tuple[str, ...]:
    if not read.estimated_volumes:
        return ()
    return ("its bulk volume is estimated from weight and longest side; measure 100 pieces in a beaker",)
