"""Gates: an order that does not add up goes no further, and is named.

Adding up means: the places of each line hold what was ordered, each bag holds what the book of what is owed says, and
what stands on a package is what its bags hold. A gate looks at the orders that it is about to pass, and at no others.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping

from fulfil.errors import StateRefused
from fulfil.orders.places import LinePlaces, places_of
from fulfil.records.dispatch import Package, PackageState
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import ENDED_PLACES, Owed, OwedBalance
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.store.books import Books

ON_BAG = {Owed.BAGGED, Owed.PASSED}
ON_PACKAGE = {Owed.BOXED, Owed.SEALED, Owed.SHIPPED}


def must_owe(books: Books, number: str, attempted: str) -> Order:
    """The order, of which something is still owed.

    Raises:
        UnknownRefused: there is no such order.
        StateRefused: all of it was sent or cancelled.
    """
    order = books.need(Order, number)
    if not any(one.place not in ENDED_PLACES for one in books.find(OwedBalance, order_number=number)):
        raise StateRefused(attempted, number, f"an order of which something is still owed; this one is {order.state}")
    return order


def must_add_up(books: Books, attempted: str, numbers: Collection[str]) -> None:
    """Refuses to go on while a line of these orders does not add up.

    Raises:
        StateRefused: names the first line that doesn't, by order and line, and what is off.
    """
    off = off_lines(books, numbers)
    if off:
        number, says = off[0]
        more = f" (and {len(off) - 1} more)" if len(off) > 1 else ""
        raise StateRefused(attempted, number, f"books that add up: {says}{more}; see fulfil shop verify")


def must_be_planned(books: Books, attempted: str, order: Order) -> None:
    """Refuses to pack an order of which pieces wait to be planned, or that must be complete and isn't.

    Raises:
        StateRefused: says how many pieces, and what to do.
    """
    open_ = books.find(OwedBalance, order_number=order.number)
    waiting = sum(one.pieces for one in open_ if one.place in (Owed.WAITING, Owed.PROMISED, Owed.HELD))
    if waiting:
        raise StateRefused(
            attempted, order.number, f"all of it on walks; {waiting} pieces wait: fulfil walks plan, then release"
        )
    short = sum(one.pieces for one in open_ if one.place is Owed.SHORT)
    if short and order.ship_complete:
        lacks = f"{short} pieces are short: make or buy them, or change its lines"
        expected = f"a complete order, as its customer wants it; {lacks}"
        raise StateRefused(attempted, order.number, expected)


def off_lines(books: Books, numbers: Collection[str]) -> list[tuple[str, str]]:
    """What does not add up in these orders: order number and a sentence, lines in order."""
    lines = books.find(OrderLine, order_number=sorted(numbers))
    places = places_of(books, numbers)
    bags: dict[tuple[str, int], list[Bag]] = defaultdict(list)
    for bag in books.find(Bag, order_number=sorted(numbers)):
        bags[bag.order_number, bag.line_no].append(bag)
    on = sorted({bag.walk_number for some in bags.values() for bag in some})
    released = {walk.number for walk in books.find(WalkRecord, number=on) if walk.released_at is not None}
    off = _off_packages(books, numbers, places)
    for line in lines:
        key = (line.order_number, line.line_no)
        at = places.get(key)
        is_kit = at is not None and {one.part_number for one in at.balances} != {line.part_number}
        if at is None or (at.ordered % line.pieces if is_kit else at.ordered != line.pieces):
            here = 0 if at is None else at.ordered
            off.append((line.order_number, f"line {line.line_no} was ordered {line.pieces}, its places hold {here}"))
            continue
        owed = _by_ref(one for one in at.balances if one.place in ON_BAG | ON_PACKAGE)
        held: dict[tuple[str, str], int] = defaultdict(int)
        for bag in bags[key]:
            if bag.state is BagState.PACKED:
                held[bag.package_number, bag.part_number] += bag.pieces
            elif bag.walk_number in released:
                held[bag.code, bag.part_number] += bag.pieces
        for ref, part in sorted(owed.keys() | held.keys()):
            if owed.get((ref, part), 0) != held.get((ref, part), 0):
                says = f"line {line.line_no} has {owed.get((ref, part), 0)} {part} in {ref}"
                off.append((line.order_number, f"{says}, the bags say {held.get((ref, part), 0)}"))
    return off


PLACE_OF = {
    PackageState.PLANNED: Owed.BOXED,
    PackageState.STOP: Owed.BOXED,
    PackageState.SEALED: Owed.SEALED,
    PackageState.SHIPPED: Owed.SHIPPED,
}
"""Where the pieces of a package are, by the package's state."""


def _off_packages(
    books: Books, numbers: Collection[str], places: Mapping[tuple[str, int], LinePlaces]
) -> list[tuple[str, str]]:
    at: dict[str, set[Owed]] = defaultdict(set)
    for line in places.values():
        for one in line.balances:
            if one.place in ON_PACKAGE:
                at[one.ref].add(one.place)
    off = []
    for package in books.find(Package, order_number=sorted(numbers), number=sorted(at)):
        place = PLACE_OF.get(package.state)
        if at[package.number] != {place}:
            says = ", ".join(sorted(at[package.number]))
            off.append((package.order_number, f"package {package.number} is {package.state}, its pieces are {says}"))
    return off


def _by_ref(balances: Iterable[OwedBalance]) -> dict[tuple[str, str], int]:
    sums: dict[tuple[str, str], int] = defaultdict(int)
    for one in balances:
        sums[one.ref, one.part_number] += one.pieces
    return dict(sums)
