"""Orders that look alike: one person, one day, one service; they are offered, and a clerk says which go together.

Alike are orders of the same name (letters of either case), post code and country, received on the same day in the
shop's time zone, with the same service and currency, of which no bag is on a released walk. Combining moves the lines
of the later ones behind those of the first, with all that was ordered of them; what was cancelled of a line stays
cancelled, what one of them was held for holds the combined order, and a claim follows the line that it is about. An
emptied order is cancelled and says into which one it went, so no piece is ordered twice.
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import WAITS, come_in, end_with, go_out, hold, resume, take_back_plan
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.goods_back import ReturnMatch
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.order_charge import OrderCharge
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.shop.clock import local_day
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_TO_COMBINE = [OrderState.RECEIVED, OrderState.ALLOCATED, OrderState.HELD]


@dataclass(frozen=True)
class Alike:
    """Orders that may be one package, by arrival; ``is_same_twice`` where two of them ask for exactly the same."""

    numbers: tuple[str, ...]
    name: str
    is_same_twice: bool


def look_alike_orders(books: Books) -> list[Alike]:
    """Groups of two and more, by their first order's number."""
    settings = books.settings()
    groups: dict[tuple[object, ...], list[Order]] = defaultdict(list)
    for order in _open_orders(books):
        day = local_day(order.received_at, settings)
        who = (order.name.casefold(), order.post_code.casefold(), order.country)
        groups[(*who, day, order.service_code, order.currency)].append(order)
    found = []
    for orders in groups.values():
        if len(orders) < 2:
            continue
        orders.sort(key=lambda order: (order.received_at, order.number))
        asked = [
            sorted((line.part_number, line.pieces) for line in books.find(OrderLine, order_number=order.number))
            for order in orders
        ]
        is_same = any(asked[a] == asked[b] for a in range(len(asked)) for b in range(a))
        found.append(Alike(tuple(order.number for order in orders), orders[0].name, is_same))
    return sorted(found, key=lambda one: one.numbers)


def combine_orders(shop: Shop, first: str, others: Sequence[str], *, at: datetime, person: str) -> list[OrderLine]:
    """Moves the lines of the other orders into the first one and returns all of its lines.

    Raises:
        UnknownRefused: there is no such order.
        StateRefused: the orders aren't alike, or one is on a cart already.
    """
    with shop.writing() as books:
        alike = next((one.numbers for one in look_alike_orders(books) if first in one.numbers), ())
        wanted = [first, *others]
        for number in wanted:
            books.need(Order, number)
            if number not in alike or wanted.count(number) > 1 or len(wanted) < 2:
                expected = (
                    f"two orders or more of one person that aren't on a cart; alike are {', '.join(alike) or 'none'}"
                )
                raise StateRefused("combine order", number, expected)
        take_back_plan(books, [first, *others], at=at, person=person)
        taken = books.find(OrderLine, order_number=first)
        charges = len(books.find(OrderCharge, order_number=first))
        kept = books.need(Order, first)
        reasons = dict.fromkeys(books.need(Order, number).held_reason for number in wanted)
        for number in others:
            moved = books.find(OrderLine, order_number=number)
            was = go_out(books, number, first, at=at, person=person)
            books.remove(OrderLine, order_number=number)
            last = max(line.line_no for line in taken)
            line_of = {line.line_no: last + place for place, line in enumerate(moved, start=1)}
            renumbered = [
                OrderLine.model_validate(
                    line.model_dump()
                    | {
                        "order_number": first,
                        "line_no": line_of[line.line_no],
                        "short_pieces": 0,
                        "cancelled_pieces": 0,
                        "short_reason": "",
                    }
                )
                for line in moved
            ]
            books.add(renumbered)
            come_in(books, first, line_of, was, at=at, person=person)
            taken += renumbered
            for charge in books.find(OrderCharge, order_number=number):
                charges += 1
                books.add([revised(charge, {"order_number": first, "charge_no": charges})])
            books.remove(OrderCharge, order_number=number)
            _take_along(books, number, first, line_of)
            other = end_with(books, number, f"combined into {first}")
            notes = {name: _both(kept, other, name) for name in ("note_picker", "note_packer")}
            both = notes | {"ship_complete": kept.ship_complete or other.ship_complete}
            kept = revised(kept, both)
        books.replace([revised(kept, {"state": books.need(Order, first).state})])
        # That one waited to be complete is the next plan's to say; what a person held one for holds them all.
        held = cut("; ".join(reason for reason in reasons if reason not in ("", WAITS)))
        order = books.need(Order, first)
        hold(books, order, held, at=at, person=person) if held else resume(books, order, at=at, person=person)
        particulars = {"from": [*others], "lines": len(taken)}
        books.journal(at=at, person=person, event=Happening.ORDERS_COMBINED, subject=first, particulars=particulars)
        return books.find(OrderLine, order_number=first)


def _take_along(books: Books, number: str, first: str, line_of: Mapping[int, int]) -> None:
    """What was said of a line goes with it: claims, and notices that were found to be about it."""
    claims = books.find(Claim, order_number=number)
    books.replace([revised(one, {"order_number": first, "line_no": line_of[one.line_no]}) for one in claims])
    matches = books.find(ReturnMatch, order_number=number)
    books.remove(ReturnMatch, order_number=number)
    books.add(revised(one, {"order_number": first, "order_line_no": line_of[one.order_line_no]}) for one in matches)


def _open_orders(books: Books) -> list[Order]:
    """Orders of which no bag is on paper."""
    orders = books.find(Order, state=_TO_COMBINE)
    walked = {bag.order_number for bag in books.find(Bag, order_number=[one.number for one in orders])}
    unreleased = {bag.order_number for bag in _unreleased_bags(books)}
    return [order for order in orders if order.number not in walked or order.number in unreleased]


def _unreleased_bags(books: Books) -> list[Bag]:
    walks = {walk.number for walk in books.find(WalkRecord, released_at=None)}
    bags = books.find(Bag, walk_number=sorted(walks))
    named = sorted({bag.order_number for bag in bags})
    on_paper = {bag.order_number for bag in books.find(Bag, order_number=named) if bag.walk_number not in walks}
    return [bag for bag in bags if bag.order_number not in on_paper]


def _both(kept: Order, other: Order, name: str) -> str:
    words = dict.fromkeys(word for word in (getattr(kept, name), getattr(other, name)) if word)
    return cut("; ".join(words))
