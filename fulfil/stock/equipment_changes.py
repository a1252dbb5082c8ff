"""One service or scale is added, changed or retired by itself, by the same rules as a whole catalogue.

What is typed are cells of ``services.csv`` or ``scales.csv``, by the names of their columns, and they go through the
reader of that file. Neither is ever deleted: old papers, bills and weighings name it, so it is *retired*, and taken
back with ``retired`` *no*. A catalogue that has it no longer does the same (:func:`retired_by_file`).

A service by which open orders go can't be retired: they are sent by another one first. A scale can be, any time, as it
may break; whoever retires it is told which bags still wait for it.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Generic, TypeVar

from sqlmodel import SQLModel

from fulfil.counting.scale_room import waiting_parts
from fulfil.errors import StateRefused
from fulfil.files.catalogue_written import Cells, cells_of
from fulfil.files.columns import Column
from fulfil.files.equipment import SCALES, SERVICES, read_scales, read_services
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.orders.print_check import in_latin, unprintable
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.order import OPEN, Order
from fulfil.records.revised import revised
from fulfil.shop.typed_row import Differences, differences, said_of, typed_row
from fulfil.stock.part_changes import some
from fulfil.store.books import Books
from fulfil.store.shop import Shop

E = TypeVar("E", bound=Service | ScaleRecord)


@dataclass(frozen=True)
class EquipmentChanged(Generic[E]):
    """The record as it is now, what differs (before, now) by column, whom to tell; nothing where findings are."""

    findings: tuple[Finding, ...]
    record: E | None = None
    differences: Differences = ()
    tells: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Kind(Generic[E]):
    """A file of the catalogue whose rows can be typed."""

    noun: str
    record: type[E]
    columns: tuple[Column, ...]
    read: Callable[[Iterable[Row], FileReading], tuple[E, ...]]
    added: Happening
    changed: Happening
    may_retire: Callable[[Books, E], tuple[str, ...]]


def orders_by_service(books: Books, codes: Sequence[str]) -> dict[str, list[str]]:
    """The open orders that go by these services, by service; services without one left out."""
    found: dict[str, list[str]] = {}
    for order in books.find(Order, state=OPEN):
        if order.service_code in codes:
            found.setdefault(order.service_code, []).append(order.number)
    return {code: sorted(numbers) for code, numbers in found.items()}


def retired_by_file(known: Iterable[E], given: Sequence[E]) -> tuple[E, ...]:
    """What a file has, and what it has no longer, retired."""
    codes = {one.code for one in given}
    return (*given, *(revised(one, {"is_retired": True}) for one in known if one.code not in codes))


def service_findings(books: Books, services: Sequence[Service]) -> tuple[Finding, ...]:
    """What forbids that these are the shop's services: open orders that go by one that would be retired, letters."""
    in_use = {one.code for one in services if not one.is_retired}
    known = {one.code for one in books.find(Service)} | {one.code for one in services}
    findings = [
        Finding("services.csv", None, "service", code, f"{_of(orders)}, so it must stay", _OTHER)
        for code, orders in sorted(orders_by_service(books, sorted(known - in_use)).items())
    ]
    return tuple(findings + [found for one in services for found in _name_findings("services.csv", one)])


def _name_findings(source: str, one: SQLModel) -> list[Finding]:
    name = getattr(one, "name", "")
    if not unprintable(name):
        return []
    do = f"write it in letters that the papers have, such as '{in_latin(name)}'"
    return [Finding(source, None, "name", name, "can't be printed", do)]


_OTHER = "send them by another first: fulfil orders send-by ORDER SERVICE"


def _of(orders: Sequence[str]) -> str:
    return f"open orders go by it ({some(orders)})"


def _service_may(books: Books, service: Service) -> tuple[str, ...]:
    if orders := orders_by_service(books, [service.code]).get(service.code):
        expected = (
            f"a service by which no open order goes; {some(orders)} {'go' if len(orders) > 1 else 'goes'} by it, "
        )
        raise StateRefused("retire the service", service.code, expected + _OTHER)
    return ()


def _scale_may(books: Books, scale: ScaleRecord) -> tuple[str, ...]:
    waiting = waiting_parts(books, scale.code)
    return (f"Bags wait for this scale; count them by hand: {some(waiting)}.",) if waiting else ()


_SERVICE = _Kind(
    "service", Service, SERVICES, read_services, Happening.SERVICE_ADDED, Happening.SERVICE_TERMS_CHANGED, _service_may
)
_SCALE = _Kind("scale", ScaleRecord, SCALES, read_scales, Happening.SCALE_ADDED, Happening.SCALE_CHANGED, _scale_may)


def add_service(
    shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str
) -> EquipmentChanged[Service]:
    """Adds a service; ``cells`` are those of ``services.csv`` by column.

    Raises:
        StoreRefused: the shop can't be written; it wasn't added.
    """
    return _add(shop, _SERVICE, code, cells, at, person)


def change_service_terms(
    shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str
) -> EquipmentChanged[Service]:
    """Changes a service; a column that ``cells`` don't name stays, one that they give empty is emptied.

    Raises:
        UnknownRefused: there is no such service.
        StateRefused: it is retired while open orders go by it.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    return _change(shop, _SERVICE, code, cells, at, person)


def retire_service(shop: Shop, code: str, *, at: datetime, person: str) -> EquipmentChanged[Service]:
    """Takes a service out of what orders can go by.

    Raises:
        UnknownRefused: there is no such service.
        StateRefused: open orders go by it, or it is retired already.
    """
    return _retire(shop, _SERVICE, code, at, person)


def add_scale(
    shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str
) -> EquipmentChanged[ScaleRecord]:
    """Adds a scale; ``cells`` are those of ``scales.csv`` by column, copied from its plate.

    Raises:
        StoreRefused: the shop can't be written; it wasn't added.
    """
    return _add(shop, _SCALE, code, cells, at, person)


def change_scale(
    shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str
) -> EquipmentChanged[ScaleRecord]:
    """Changes a scale; a column that ``cells`` don't name stays, one that they give empty is emptied.

    Raises:
        UnknownRefused: there is no such scale.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    return _change(shop, _SCALE, code, cells, at, person)


def retire_scale(shop: Shop, code: str, *, at: datetime, person: str) -> EquipmentChanged[ScaleRecord]:
    """Takes a scale out of use at once; says which bags still wait for it.

    Raises:
        UnknownRefused: there is no such scale.
        StateRefused: it is retired already.
    """
    return _retire(shop, _SCALE, code, at, person)


def _add(
    shop: Shop, kind: _Kind[E], code: str, cells: Mapping[str, str], at: datetime, person: str
) -> EquipmentChanged[E]:
    with shop.writing() as books:
        given, findings = _read(kind, code, {**cells, kind.noun: code})
        if given is None or findings:
            return EquipmentChanged(findings)
        same = [one for one in books.find(kind.record) if one.code.casefold() == given.code.casefold()]
        if same:
            says = f"is a {kind.noun} of the shop already{', retired' if same[0].is_retired else ''}"
            do = f"fulfil {kind.noun}s change {same[0].code}{' --retired no' if same[0].is_retired else ''}"
            return EquipmentChanged((Finding(f"{kind.noun} {code}", None, kind.noun, same[0].code, says, do),))
        books.add([given])
        changed = differences({}, cells_of(kind.columns, given))
        books.journal(at=at, person=person, event=kind.added, subject=given.code, particulars=dict(changed))
    return EquipmentChanged((), given, changed)


def _change(
    shop: Shop, kind: _Kind[E], code: str, cells: Mapping[str, str], at: datetime, person: str
) -> EquipmentChanged[E]:
    with shop.writing() as books:
        was = books.need(kind.record, code)
        before = cells_of(kind.columns, was)
        given, findings = _read(kind, code, {**before, **cells})
        if given is None or findings:
            return EquipmentChanged(findings)
        changed = differences(before, cells_of(kind.columns, given))
        tells = kind.may_retire(books, given) if given.is_retired and not was.is_retired else ()
        if changed:
            books.replace([given])
            books.journal(at=at, person=person, event=kind.changed, subject=code, particulars=dict(changed))
    return EquipmentChanged((), given, changed, tells)


def _retire(shop: Shop, kind: _Kind[E], code: str, at: datetime, person: str) -> EquipmentChanged[E]:
    done = _change(shop, kind, code, {"retired": "yes"}, at, person)
    if not done.differences:
        raise StateRefused(f"retire the {kind.noun}", code, "one that isn't retired already")
    return done


def _read(kind: _Kind[E], code: str, cells: Cells) -> tuple[E | None, tuple[Finding, ...]]:
    """The row as the reader of its file takes it."""
    row, file = typed_row(kind.columns, cells, f"{kind.noun} {code}")
    read = kind.read([row], file)
    found = [one for record in read for one in _name_findings(file.source, record)]
    return (read[0] if read else None), (*said_of(file), *found)
