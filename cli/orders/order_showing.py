"""``fulfil orders show``: one order, whole."""

from typing import TYPE_CHECKING, Any

import click

from ..frame import Answer, Ask, command, table
from ..numbers import ORDER
from .orders import orders

if TYPE_CHECKING:
    from fulfil.orders.shown import ShownOrder
    from fulfil.records.order import Order


@command(orders, "show", "fulfil orders show W-1001")
@click.argument("number", type=ORDER, metavar="ORDER")
def show(ask: Ask, number: str) -> Answer:
    """Shows an order: address, notes, lines with prices, what is short or cancelled, bags and packages."""
    from fulfil.orders.shown import show_order

    with ask.shop() as shop, shop.reading() as books:
        shown = show_order(books, number)
    return Answer([*_head(shown), *_lines(shown), *_money(shown), *_under_way(shown)], _facts(shown))


@command(orders, "find", "fulfil orders find 'exemple 5001'")
@click.argument("words", nargs=-1, required=True, metavar="WORD...")
@click.option("--most", type=click.IntRange(1, 1000), default=20, show_default=True, help="Rows at most.")
def find(ask: Ask, words: tuple[str, ...], most: int) -> Answer:
    """Finds orders by name, town, telephone, part, or a piece of the number; those still open come first."""
    from fulfil.orders.search import find_orders
    from fulfil.shop.clock import local_time

    with ask.shop() as shop, shop.reading() as books:
        found = find_orders(books, " ".join(words))
        settings = books.settings()
    rows = [
        (one.order.number, local_time(one.order.received_at, settings), one.order.name, one.order.city,
         one.order.country, one.order.state.value, ", ".join(one.parts))
        for one in found[:most]
    ]  # fmt: skip
    heads = ("order", "received", "name", "town", "to", "state", "parts")
    lines = table(rows, heads) if rows else ["No order has that."]
    lines += [f"… and {len(found) - most} more: say more words."] if len(found) > most else []
    facts = [one.order.model_dump(mode="json") | {"parts": list(one.parts)} for one in found[:most]]
    return Answer(lines, {"orders": facts, "found": len(found)}, must_act=not found)


def _head(shown: "ShownOrder") -> list[str]:
    from fulfil.shop.clock import local_time
    from fulfil.standards import iso3166

    order = shown.order
    country = iso3166.parse(order.country).name if order.country in iso3166.codes() else order.country
    lines = [
        f"Order {order.number} is {order.state}{': ' + order.held_reason if order.held_reason else ''}.",
        f"Received {local_time(order.received_at, shown.settings)} ({order.source}).",
        "To " + "\n   ".join(_address(order, f"{country} ({order.country})")),
    ]
    lines += [f"{what} {text}" for what, text in (("Phone", order.phone), ("E-mail", order.email)) if text]
    named = f" ({shown.service_name})" if shown.service_name else ""
    lines.append(f"By {order.service_code}{named}{', only complete' if order.ship_complete else ''}.")
    notes = (("Picker", order.note_picker), ("Packer", order.note_packer))
    return [*lines, *[f"{who}, note: {text}" for who, text in notes if text]]


def _address(order: "Order", country: str) -> list[str]:
    town = " ".join(text for text in (order.post_code, order.city) if text)
    lines = [order.name, order.company, order.street, ", ".join(text for text in (town, order.region) if text), country]
    return [text for text in lines if text]


def _lines(shown: "ShownOrder") -> list[str]:
    from fulfil.orders.shown import where
    from fulfil.standards import iso4217

    currency = shown.order.currency
    rows = [
        (
            one.line.line_no, one.line.part_number, one.description,
            one.line.pieces, one.line.cancelled_pieces, one.line.short_pieces,
            iso4217.from_minor(one.line.unit_price_minor, currency), iso4217.from_minor(one.sum_minor, currency),
            where(one.line, one.places), one.line.short_reason,
        )
        for one in shown.lines
    ]  # fmt: skip
    heads = (
        "no",
        "part",
        "what",
        "wanted",
        "cancelled",
        "short",
        f"price {currency}",
        f"sum {currency}",
        "where",
        "why",
    )
    return table(rows, heads)


def _money(shown: "ShownOrder") -> list[str]:
    from fulfil.standards.iso4217 import print_money

    lines = [f"Charge {one.code}: {print_money(one.amount_minor, one.currency)}" for one in shown.charges]
    total = f"Sum of what is still wanted: {print_money(shown.goods_minor, shown.order.currency)}"
    if shown.charges:
        total += f", with charges {print_money(shown.total_minor, shown.order.currency)}"
    return [*lines, f"{total}."]


def _under_way(shown: "ShownOrder") -> list[str]:
    from fulfil.records.order import ENDED

    bags = [
        (bag.code, bag.line_no, bag.part_number, bag.pieces, bag.state.value, bag.walk_number, bag.package_number)
        for bag in shown.bags
    ]
    packages = [
        (one.number, one.state.value, one.box_type, one.service_code,
         "" if one.gross_g is None else f"{one.gross_g:f}", one.manifest_number)
        for one in shown.packages
    ]  # fmt: skip
    none = "No bags." if shown.order.state in ENDED else "No bags yet."
    lines = table(bags, ("bag", "line", "part", "pieces", "state", "walk", "package")) if bags else [none]
    if packages:
        lines += table(packages, ("package", "state", "box", "service", "gross g", "manifest"))
    return lines


def _facts(shown: "ShownOrder") -> dict[str, Any]:
    from fulfil.shop.clock import local_time
    from fulfil.standards.iso4217 import from_minor

    currency = shown.order.currency
    return {
        "order": shown.order.model_dump(mode="json"),
        "lines": [
            one.line.model_dump(mode="json")
            | {
                "description": one.description,
                "unit_price": f"{from_minor(one.line.unit_price_minor, currency):f}",
                "sum": f"{from_minor(one.sum_minor, currency):f}",
                "places": [at.model_dump(mode="json", exclude={"order_number", "line_no"}) for at in one.places],
            }
            for one in shown.lines
        ],
        "bags": [bag.model_dump(mode="json") for bag in shown.bags],
        "packages": [package.model_dump(mode="json") for package in shown.packages],
        "charges": [
            one.model_dump(mode="json") | {"amount": f"{from_minor(one.amount_minor, one.currency):f}"}
            for one in shown.charges
        ],
        "sums": {
            "currency": currency,
            "goods": f"{from_minor(shown.goods_minor, currency):f}",
            "charges": f"{from_minor(shown.charges_minor, currency):f}",
            "total": f"{from_minor(shown.total_minor, currency):f}",
        },
        "service_name": shown.service_name,
        "received_local": local_time(shown.order.received_at, shown.settings),
    }
