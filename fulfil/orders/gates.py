"""Gates: an order that does not add up goes no further, and is named.

Adding up means: the places of each line hold what was ordered, each bag holds what the book of what is owed says, and
what stands on a package is what its bags hold. A gate looks at the orders that it is about to pass, and at no others.
"""

from collections import defaultdict
from collections.abc import Collection

from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.order import Order, OrderState
from fulfil.records.pieces import ENDED_PLACES, Owed, OwedBalance
from fulfil.records.plan import BagState
from fulfil.store.books import Books
from fulfil.store.contents import OrderContents

LineKey = tuple[str, int]
STAYS = (OrderState.HELD, OrderState.CANCELLED)
"""Nothing of an order in such a state goes on."""
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
    _must_not_be_off(attempted, off_lines(books, numbers))


def must_be_whole(books: Books, attempted: str, order: Order) -> None:
    """Refuses to pack an order of which pieces wait to be planned, that must be complete and isn't, or is off.

    Raises:
        StateRefused: says how many pieces, and what to do.
    """
    found = books.contents([order.number])
    waits = (Owed.WAITING, Owed.PROMISED, Owed.HELD)
    waiting = sum(pieces for *_, place, _, pieces in found.places if place in waits)
    if waiting:
        raise StateRefused(
            attempted, order.number, f"all of it on walks; {waiting} pieces wait: fulfil walks plan, then release"
        )
    short = sum(pieces for *_, place, _, pieces in found.places if place is Owed.SHORT)
    if short and order.ship_complete:
        lacks = f"{short} pieces are short: make or buy them, or change its lines"
        expected = f"a complete order, as its customer wants it; {lacks}"
        raise StateRefused(attempted, order.number, expected)
    _must_not_be_off(attempted, _off(found))


def must_go_out(books: Books, attempted: str, numbers: Collection[str]) -> None:
    """Refuses to let packages leave of which one isn't sealed, or belongs to an order that doesn't go on.

    Raises:
        StateRefused: names the first such package, by number, and what keeps it.
    """
    packages = {one.number: one for one in books.find(Package, number=sorted(numbers))}
    orders = {
        one.number: one for one in books.find(Order, number=sorted({one.order_number for one in packages.values()}))
    }
    sealed = {one.ref for one in books.find(OwedBalance, place=Owed.SEALED, ref=sorted(numbers))}
    for number in sorted(numbers):
        if number not in sealed:
            state = packages[number].state if number in packages else "unknown"
            raise StateRefused(attempted, number, f"a sealed package; this one is {state}")
        order = orders[packages[number].order_number]
        if order.state in STAYS:
            why = f": {order.held_reason}" if order.held_reason else ""
            raise StateRefused(attempted, number, f"an order that goes on; order {order.number} is {order.state}{why}")


def off_lines(books: Books, numbers: Collection[str]) -> list[tuple[str, str]]:
    """What does not add up in these orders: order number and a sentence, packages first, then lines in order."""
    return _off(books.contents(sorted(numbers)))


def _must_not_be_off(attempted: str, off: list[tuple[str, str]]) -> None:
    if off:
        number, says = off[0]
        more = f" (and {len(off) - 1} more)" if len(off) > 1 else ""
        raise StateRefused(attempted, number, f"books that add up: {says}{more}; see fulfil shop verify")


def _off(found: OrderContents) -> list[tuple[str, str]]:
    owed: dict[LineKey, dict[tuple[str, str], int]] = defaultdict(lambda: defaultdict(int))
    ordered: dict[LineKey, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    at: dict[str, set[Owed]] = defaultdict(set)
    for order, line_no, part, place, ref, pieces in found.places:
        ordered[order, line_no][part] += pieces
        if place in ON_BAG or place in ON_PACKAGE:
            owed[order, line_no][ref, part] += pieces
        if place in ON_PACKAGE:
            at[ref].add(place)
    held: dict[LineKey, dict[tuple[str, str], int]] = defaultdict(lambda: defaultdict(int))
    for order, line_no, part, code, pieces, state, package, is_on_paper in found.bags:
        if state is BagState.PACKED:
            held[order, line_no][package, part] += pieces
        elif is_on_paper:
            held[order, line_no][code, part] += pieces
    off = []
    for order, number, package_state in found.packages:
        if number in at and at[number] != {PLACE_OF.get(package_state)}:
            says = ", ".join(sorted(at[number]))
            off.append((order, f"package {number} is {package_state}, its pieces are {says}"))
    for order, line_no, part_number, pieces in found.lines:
        sums = ordered[order, line_no]
        total = sum(sums.values())
        if not total or (total != pieces if set(sums) == {part_number} else total % pieces):
            off.append((order, f"line {line_no} was ordered {pieces}, its places hold {total}"))
            continue
        ours, theirs = owed[order, line_no], held[order, line_no]
        for ref, part in sorted(ours.keys() | theirs.keys()):
            if ours.get((ref, part), 0) != theirs.get((ref, part), 0):
                says = f"line {line_no} has {ours.get((ref, part), 0)} {part} in {ref}"
                off.append((order, f"{says}, the bags say {theirs.get((ref, part), 0)}"))
    return off


PLACE_OF = {
    PackageState.PLANNED: Owed.BOXED,
    PackageState.STOP: Owed.BOXED,
    PackageState.SEALED: Owed.SEALED,
    PackageState.SHIPPED: Owed.SHIPPED,
}
"""Where the pieces of a package are, by the package's state."""
