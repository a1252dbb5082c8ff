"""Promise stock to orders, and take promises back: what the plan of the day and every change of an order rest on.

Planned are the orders that were received, allocated, or held until complete, and those that still owe pieces: shipped
short, or at the benches with none of their packages begun. What lies in a bag on a released walk is on paper and
stays; everything else may be promised anew.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import partial

from fulfil.errors import PlanRefused
from fulfil.planning.allocation import Allocated, Components, Rule, allocate
from fulfil.records.dispatch import Package, PackageState
from fulfil.records.kit import KitPart
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.place import Bin
from fulfil.records.plan import Allocation, Bag, BagState, WalkRecord
from fulfil.records.service import Service
from fulfil.records.settings import Settings
from fulfil.store.books import Books

WAITS = "waits to be complete"
DONE = (BagState.PASSED, BagState.PACKED)
_BENCH = (OrderState.RELEASED, OrderState.PICKED, OrderState.CHECKED)
_PLANNED = (OrderState.RECEIVED, OrderState.ALLOCATED, OrderState.HELD, OrderState.SHIPPED, *_BENCH)
OrdersWithLines = list[tuple[Order, list[OrderLine]]]


def kits_of(books: Books) -> dict[str, Components]:
    """The kits that the shop sells: which parts, and how many of each in one."""
    kits: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for row in books.find(KitPart):
        kits[row.kit_number].append((row.part_number, row.pieces))
    return {number: tuple(parts) for number, parts in kits.items()}


def rule_of(settings: Settings) -> Rule:
    """The rule that the shop has set.

    Raises:
        PlanRefused: it is none.
    """
    try:
        return Rule(settings.allocation_rule)
    except ValueError:
        raise PlanRefused("allocate by the rule", settings.allocation_rule, f"one of {', '.join(Rule)}") from None


def forget_unreleased(books: Books, orders: Sequence[str] | None = None) -> None:
    """Takes back the plan of every walk that isn't on paper yet, or only what it holds of some orders."""
    walks = [walk.number for walk in books.find(WalkRecord) if walk.released_at is None]
    only = {} if orders is None else {"order_number": [*orders]}
    bags = books.find(Bag, walk_number=walks, **only)
    give_back(books, bags)
    books.remove(Bag, code=[bag.code for bag in bags])
    if orders is None:
        books.remove(WalkRecord, number=walks)
        return
    left = {bag.walk_number for bag in books.find(Bag, walk_number=walks)}
    books.remove(WalkRecord, number=[number for number in walks if number not in left])


def give_back(books: Books, bags: Iterable[Bag]) -> None:
    """Takes back the promises for bags that were not checked yet."""
    freed: dict[tuple[str, int, str], int] = defaultdict(int)
    for bag in bags:
        if bag.state not in DONE:
            freed[bag.order_number, bag.line_no, bag.bin_code] += bag.pieces
    numbers = sorted({key[0] for key in freed})
    for promise in books.find(Allocation, order_number=numbers):
        key = (promise.order_number, promise.line_no, promise.bin_code)
        if key not in freed:
            continue
        left = promise.pieces - freed[key]
        if left > 0:
            books.replace([promise.model_copy(update={"pieces": left})])
        else:
            books.remove(Allocation, order_number=key[0], line_no=key[1], bin_code=key[2])


def orders_to_plan(books: Books, only: Sequence[str] | None = None) -> OrdersWithLines:
    """Orders that may be promised something, with their lines; ``only`` restricts them to some numbers."""
    only_these = {} if only is None else {"number": [*only]}
    orders = [
        order
        for order in books.find(Order, state=list(_PLANNED), **only_these)
        if order.state is not OrderState.HELD or order.held_reason == WAITS
    ]
    late = [order.number for order in orders if order.state in (*_BENCH, OrderState.SHIPPED)]
    begun = {
        package.order_number
        for package in books.find(Package, order_number=late)
        if package.state is not PackageState.SHIPPED
    }
    lines: dict[str, list[OrderLine]] = defaultdict(list)
    for line in books.find(OrderLine, order_number=[order.number for order in orders]):
        lines[line.order_number].append(line)
    late_and_whole = {
        number for number in late if number in begun or not any(line.short_pieces for line in lines[number])
    }
    return [(order, lines[order.number]) for order in orders if order.number not in late_and_whole]


def wanted_pieces(books: Books, orders: OrdersWithLines, kits: dict[str, Components]) -> dict[tuple[str, int], int]:
    """What each line still wants: ordered, less cancelled, less what is in bags."""
    bagged: dict[tuple[str, int, str], int] = defaultdict(int)
    for bag in books.find(Bag, order_number=[order.number for order, _ in orders]):
        bagged[bag.order_number, bag.line_no, bag.part_number] += bag.pieces
    wanted = {}
    for order, lines in orders:
        for line in lines:
            key = (order.number, line.line_no)
            had = whole_kits(line, kits, partial(_bagged, bagged, key))
            wanted[key] = max(0, line.pieces - line.cancelled_pieces - had)
    return wanted


def _bagged(bagged: dict[tuple[str, int, str], int], key: tuple[str, int], part_number: str) -> int:
    return bagged[(*key, part_number)]


def whole_kits(line: OrderLine, kits: dict[str, Components], pieces_of: Callable[[str], int]) -> int:
    """Pieces of the line's part, or whole kits, that so many pieces of its components make."""
    return min(pieces_of(part) // per for part, per in kits.get(line.part_number, ((line.part_number, 1),)))


def free_bins(books: Books, bins: Iterable[Bin]) -> list[Bin]:
    """The bins with what is not promised to anyone; a bin counted below its promises has nothing."""
    promised: dict[str, int] = defaultdict(int)
    for allocation in books.find(Allocation):
        promised[allocation.bin_code] += allocation.pieces
    return [place.model_copy(update={"pieces": max(0, place.pieces - promised[place.code])}) for place in bins]


def allocate_open(books: Books, orders: OrdersWithLines, free: Iterable[Bin]) -> Allocated:
    """Allocates free pieces to what the orders still want, by the shop's rule; nothing is written."""
    kits = kits_of(books)
    return allocate(
        orders,
        free,
        rule=rule_of(books.settings()),
        cut_offs={service.code: service.cut_off for service in books.find(Service)},
        kits=kits,
        wanted=wanted_pieces(books, orders, kits),
    )


def state_by_bags(bags: Sequence[Bag], packages: Sequence[Package]) -> OrderState:
    """Where an order stands by the bags that it has on released walks: none, at the benches, or all sent."""
    shipped = {package.number for package in packages if package.state is PackageState.SHIPPED}
    if not bags:
        return OrderState.RECEIVED
    here = [bag for bag in bags if bag.package_number not in shipped]
    if not here:
        return OrderState.SHIPPED
    done = [bag.state in DONE for bag in here]
    return OrderState.CHECKED if all(done) else OrderState.PICKED if any(done) else OrderState.RELEASED


def write_promises(books: Books, orders: OrdersWithLines, allocated: Allocated) -> None:
    """Books what is promised, what is short and why, and the orders' states."""
    numbers = [order.number for order, _ in orders]
    promised = {allocation.order_number for allocation in allocated.allocations}
    bags: dict[str, list[Bag]] = defaultdict(list)
    for bag in books.find(Bag, order_number=numbers):
        bags[bag.order_number].append(bag)
    packages: dict[str, list[Package]] = defaultdict(list)
    for package in books.find(Package, order_number=sorted(bags)):
        packages[package.order_number].append(package)
    waiting = set(allocated.waiting)
    changed_orders, changed_lines = [], []
    for order, lines in orders:
        update = _state(order, bags[order.number], packages[order.number], order.number in promised)
        if order.number in waiting and update["state"] is OrderState.RECEIVED:
            update = {"state": OrderState.HELD, "held_reason": WAITS}
        if any(getattr(order, name) != value for name, value in update.items()):
            changed_orders.append(order.model_copy(update=update))
        for line in lines:
            key = (line.order_number, line.line_no)
            short, why = allocated.short_pieces.get(key, 0), allocated.reasons.get(key, "")[:200]
            if (line.short_pieces, line.short_reason) != (short, why):
                changed_lines.append(line.model_copy(update={"short_pieces": short, "short_reason": why}))
    books.replace(changed_orders)
    books.replace(changed_lines)
    before = {
        (one.order_number, one.line_no, one.bin_code): one.pieces
        for one in books.find(Allocation, order_number=numbers)
    }
    keys = [(one, (one.order_number, one.line_no, one.bin_code)) for one in allocated.allocations]
    books.add([one for one, key in keys if key not in before])
    books.replace([one.model_copy(update={"pieces": one.pieces + before[key]}) for one, key in keys if key in before])


def _state(order: Order, bags: list[Bag], packages: list[Package], is_promised: bool) -> dict[str, object]:
    state = state_by_bags(bags, packages)
    if is_promised and state in (OrderState.RECEIVED, OrderState.SHIPPED):
        state = OrderState.ALLOCATED
    elif is_promised and state is OrderState.CHECKED:
        state = OrderState.PICKED
    return {"state": state, "held_reason": ""}
