"""How a source's file would come in, shown as the finished thing before anything does: labels, services, parts, faults.

The orders are taken into the books, looked at and taken back, so a preview says just what the import would.
:func:`example` proposes a mapping from a file (:mod:`fulfil.files.mapping.proposing`) with what the shop knows.
"""

from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.catalogue import read_bytes
from fulfil.files.mapping.mapping import is_json
from fulfil.files.mapping.proposing import Proposal, ShopWords, propose
from fulfil.files.orders_mapped import read_mapped_orders
from fulfil.files.rows.table import read_table
from fulfil.orders.extras import explained_countries
from fulfil.orders.importing import OrdersImport, take_orders
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_mapping import OrderMapping
from fulfil.records.part import Part
from fulfil.shipping.address import address_lines
from fulfil.shipping.address_check import address_warnings
from fulfil.shop.clock import local_time
from fulfil.standards import iso4217
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class OrderPreview:
    """One order as it would come in: the label's lines as they print, the service, (pieces, part, price) of each line.

    ``received_local`` is the time on the shop's own clock, with its zone. ``look_at`` is what a person may want to look
    at in the address; it keeps nothing out.
    """

    number: str
    received_local: str
    label: tuple[str, ...]
    service: str
    lines: tuple[tuple[int, str, str], ...]
    look_at: tuple[str, ...]


@dataclass(frozen=True)
class Preview:
    """The first orders, and everything that the import would say."""

    orders: tuple[OrderPreview, ...]
    told: OrdersImport


class _TakenBack(Exception):
    """Takes everything back."""


def example(shop: Shop, path: Path, source: str) -> Proposal:
    """A mapping for a source, proposed from one of its files.

    Raises:
        FileRefused: the file can't be read as a table.
    """
    raw = read_bytes(path)
    if is_json(raw, path.name):
        raise FileRefused("propose a mapping from", path, "a table (CSV or a workbook); map JSON with --column")
    table = read_table(raw, path.name)
    if table.findings or not table.rows:
        expected = str(table.findings[0]) if table.findings else "a header and at least one row"
        raise FileRefused("propose a mapping from", path, expected)
    with shop.reading() as books:
        settings = books.settings()
        words = ShopWords(
            parts=frozenset(one.number.casefold() for one in books.find(Part)),
            services={one.code: one.name for one in books.find(Service, is_retired=False)},
            country=settings.country,
            currency=settings.currency,
            time_zone=settings.time_zone,
        )
    return propose(table, source, words)


def preview_orders(
    shop: Shop,
    path: Path,
    mapping: OrderMapping,
    *,
    at: datetime,
    person: str,
    in_latin: bool = False,
    most: int = 5,
) -> Preview:
    """The first ``most`` orders of a file as the mapping would bring them in, and all that would be said.

    Raises:
        FileRefused: the file can't be read.
    """
    with shop.reading() as books:
        countries = explained_countries(books)
    read = read_mapped_orders(path, mapping, countries=countries, at=at)
    shown: tuple[OrderPreview, ...] = ()
    told: OrdersImport | None = None
    with suppress(_TakenBack), shop.writing() as books:
        told = take_orders(books, path, read, at=at, person=person, in_latin=in_latin)
        shown = tuple(_shown(books, number) for number in (*told.new, *told.unchanged)[:most])
        raise _TakenBack
    assert told is not None  # noqa: S101 - the transaction ended
    return Preview(shown, told)


def _shown(books: Books, number: str) -> OrderPreview:
    order = books.need(Order, number)
    lines = books.find(OrderLine, order_number=number)
    parts = {part.number: part for part in books.find(Part, number=sorted({line.part_number for line in lines}))}
    place = {
        "street": order.street, "city": order.city, "country": order.country, "post_code": order.post_code,
        "region": order.region,
    }  # fmt: skip
    warnings = address_warnings(**place, phone=order.phone, subject=f"order {number}")
    return OrderPreview(
        number=number,
        received_local=local_time(order.received_at, books.settings()),
        label=address_lines(name=order.name, company=order.company, **place),
        service=f"{order.service_code}, {books.need(Service, order.service_code).name}",
        lines=tuple(
            (
                line.pieces,
                f"{line.part_number}, {parts[line.part_number].description}",
                iso4217.print_money(line.unit_price_minor, order.currency),
            )
            for line in lines
        ),
        look_at=tuple(f"{one.field} '{one.value}' {one.says}" for one in warnings),
    )
