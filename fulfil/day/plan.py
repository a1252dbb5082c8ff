"""Plan the day: promise stock, name the shorts, bag each line, batch orders onto carts, walk each the shortest way.

Orders that are received (or planned, but not yet on a released walk) are planned together; a released walk is on
paper and stays as it is. Planning again before release gives the same plan for the same orders.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from fulfil.day.cart import CartLoad, PlannedBag, cart_loads
from fulfil.day.counting import Bench, bench_of, count_line
from fulfil.day.floor import Floor, floor_of, in_walking_order
from fulfil.day.numbers import next_code
from fulfil.planning.allocation import Allocated, allocate_first_come
from fulfil.planning.batching import Plan, plan_batches
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Allocation, Bag, PlanRecord, WalkRecord
from fulfil.records.service import Service
from fulfil.records.settings import Settings
from fulfil.room.walk import shortest_walk
from fulfil.store.books import Books
from fulfil.store.shop import Shop

WAITS = "waits to be complete"
_Orders = list[tuple[Order, list[OrderLine]]]


@dataclass(frozen=True)
class DayPlan:
    """What was planned: the plan's record, its walks, how many bags, which lines are short, which orders wait."""

    record: PlanRecord | None
    walks: tuple[WalkRecord, ...]
    bags: int
    short_lines: int
    waiting: tuple[str, ...]


@dataclass(frozen=True)
class _Shelf:
    """What the plan reads of the shop, once."""

    settings: Settings
    bench: Bench
    floor: Floor
    parts: dict[str, Part]
    unit_weights: dict[tuple[str, str], UnitWeight]
    bins: dict[str, Bin]
    services: dict[str, Service]

    def unit_weight(self, place: Bin) -> UnitWeight | None:
        """The unit weight for a bin's lot; the part's own where the lot has none."""
        part = place.part_number
        return self.unit_weights.get((part, place.lot)) or self.unit_weights.get((part, ""))


def plan_day(
    shop: Shop, *, day: date, at: datetime, person: str, seed: int = 0, effort: str = "normal"
) -> tuple[DayPlan, Plan | None]:
    """Plans all orders that aren't on a released walk and writes the plan into the shop.

    Returns what was planned and the batching plan itself (None when there was nothing to walk for), which
    :func:`fulfil.planning.proof.prove` can be asked about.

    Raises:
        PlanRefused: when an order can't be carried or bagged.
        RoomRefused: when the room can't be walked.
    """
    with shop.writing() as books:
        _forget_unreleased(books)
        shelf = _shelf(books)
        orders = _orders_to_plan(books)
        allocated = allocate_first_come(orders, _free_bins(books, shelf))
        _write_allocation(books, orders, allocated)
        loads = _cart_loads(allocated.allocations, shelf)
        batches = _batches(loads, shelf, seed=seed, effort=effort)
        record: PlanRecord | None = None
        walks: list[WalkRecord] = []
        bags: list[Bag] = []
        if batches is not None:
            record = _record(books, batches, day, seed)
            walks, bags = _walks(books, loads, batches, shelf, orders, day)
            books.add([record, *walks, *bags])
        length_mm = 0 if record is None else record.length_mm
        particulars = {"walks": len(walks), "bags": len(bags), "length_mm": length_mm, "seed": seed}
        books.journal(at=at, person=person, event="walks planned", subject=str(day), particulars=particulars)
    planned = DayPlan(record, tuple(walks), len(bags), len(allocated.short_pieces), allocated.waiting)
    return planned, batches


def _forget_unreleased(books: Books) -> None:
    """Takes back the plan of every walk that isn't on paper yet."""
    walks = [walk.number for walk in books.find(WalkRecord) if walk.released_at is None]
    orders = sorted({bag.order_number for bag in books.find(Bag, walk_number=walks)})
    books.remove(Bag, walk_number=walks)
    books.remove(WalkRecord, number=walks)
    books.remove(Allocation, order_number=orders)


def _orders_to_plan(books: Books) -> _Orders:
    """Orders received, planned but not released, or held until they are complete."""
    open_states = [OrderState.RECEIVED, OrderState.ALLOCATED, OrderState.HELD]
    orders = [
        order
        for order in books.find(Order, state=open_states)
        if order.state is not OrderState.HELD or order.held_reason == WAITS
    ]
    lines: dict[str, list[OrderLine]] = defaultdict(list)
    for line in books.find(OrderLine, order_number=[order.number for order in orders]):
        lines[line.order_number].append(line)
    return [(order, lines[order.number]) for order in orders]


def _shelf(books: Books) -> _Shelf:
    settings = books.settings()
    bench = bench_of(books.find(ScaleRecord), books.find(BagType), settings)
    return _Shelf(
        settings=settings,
        bench=bench,
        floor=floor_of(books.find(RoomElement)),
        parts={part.number: part for part in books.find(Part)},
        unit_weights={(weight.part_number, weight.lot): weight for weight in books.find(UnitWeight)},
        bins={place.code: place for place in books.find(Bin)},
        services={service.code: service for service in books.find(Service)},
    )


def _free_bins(books: Books, shelf: _Shelf) -> list[Bin]:
    """The bins with what is not promised to anyone yet."""
    promised: dict[str, int] = defaultdict(int)
    for allocation in books.find(Allocation):
        promised[allocation.bin_code] += allocation.pieces
    return [place.model_copy(update={"pieces": place.pieces - promised[place.code]}) for place in shelf.bins.values()]


def _write_allocation(books: Books, orders: _Orders, allocated: Allocated) -> None:
    """Books what is promised and short; an order that waits is held, one without any promise stays received."""
    promised = {allocation.order_number for allocation in allocated.allocations}
    changed_orders, changed_lines = [], []
    for order, lines in orders:
        if order.number in allocated.waiting:
            update = {"state": OrderState.HELD, "held_reason": WAITS}
        else:
            state = OrderState.ALLOCATED if order.number in promised else OrderState.RECEIVED
            update = {"state": state, "held_reason": ""}
        changed_orders.append(order.model_copy(update=update))
        for line in lines:
            short = allocated.short_pieces.get((line.order_number, line.line_no), 0)
            changed_lines.append(line.model_copy(update={"short_pieces": short}))
    books.replace(changed_orders)
    books.replace(changed_lines)
    books.add(allocated.allocations)


def _cart_loads(allocations: Sequence[Allocation], shelf: _Shelf) -> list[CartLoad]:
    """Bags each promised piece and loads each order onto one cart or more, orders by number."""
    bags: dict[str, list[PlannedBag]] = defaultdict(list)
    for allocation in sorted(allocations, key=lambda one: (one.order_number, one.line_no, one.bin_code)):
        place = shelf.bins[allocation.bin_code]
        unit_weight = shelf.unit_weight(place)
        part = shelf.parts[place.part_number]
        for counted in count_line(part, unit_weight, allocation.pieces, shelf.bench):
            bag = PlannedBag(allocation.order_number, allocation.line_no, place, unit_weight, counted)
            bags[allocation.order_number].append(bag)
    return [load for number in sorted(bags) for load in cart_loads(bags[number], shelf.settings, shelf.floor)]


def _batches(loads: Sequence[CartLoad], shelf: _Shelf, *, seed: int, effort: str) -> Plan | None:
    if not loads:
        return None
    return plan_batches(
        shelf.floor.room,
        [[shelf.floor.stop_of(bag.place) for bag in load.bags] for load in loads],
        capacity=shelf.settings.cart_positions,
        weights=[load.positions for load in loads],
        seed=seed,
        effort=effort,
    )


def _record(books: Books, batches: Plan, day: date, seed: int) -> PlanRecord:
    return PlanRecord(
        day=day,
        wave=1 + books.count(PlanRecord, day=day),
        length_mm=batches.length_mm,
        one_by_one_mm=batches.one_by_one_mm,
        seed=seed,
    )


def _walks(
    books: Books, loads: Sequence[CartLoad], batches: Plan, shelf: _Shelf, orders: _Orders, day: date
) -> tuple[list[WalkRecord], list[Bag]]:
    """A walk and its bags for each batch; walks with the earliest cut-off first, ties by their first order."""
    service_of = {order.number: shelf.services[order.service_code] for order, _ in orders}

    def urgency(batch: Sequence[int]) -> tuple[object, str]:
        return (
            min(service_of[loads[index].order_number].cut_off for index in batch),
            min(loads[index].order_number for index in batch),
        )

    walks, bags = [], []
    for batch in sorted(batches.batches, key=urgency):
        walk, its_bags = _walk(books, [loads[index] for index in batch], shelf, day)
        walks.append(walk)
        bags += its_bags
    return walks, bags


def _walk(books: Books, loads: Sequence[CartLoad], shelf: _Shelf, day: date) -> tuple[WalkRecord, list[Bag]]:
    """One walk: its stops in walking order, its bags numbered in the order they are filled."""
    number = next_code(books, "W", day)
    riding = [(bag, position) for load, first in _positions(loads) for bag, position in _place(load, first)]
    places = {bag.place.code: bag.place for bag, _ in riding}
    tour = shortest_walk(shelf.floor.room, [shelf.floor.stop_of(place) for place in places.values()])
    ordered = in_walking_order(shelf.floor, places.values(), tour.stops)
    stop_no = {place.code: index for index, place in enumerate(ordered, start=1)}
    riding.sort(key=lambda pair: (stop_no[pair[0].place.code], pair[1], pair[0].order_number, pair[0].line_no))
    bags = [
        _bag(bag, next_code(books, "B", day), number, position, stop_no[bag.place.code]) for bag, position in riding
    ]
    walk = WalkRecord(
        number=number,
        day=day,
        length_mm=tour.length_mm,
        orders=len({load.order_number for load in loads}),
        stops=len(ordered),
    )
    return walk, bags


def _positions(loads: Sequence[CartLoad]) -> list[tuple[CartLoad, int]]:
    """Each load with its first cart position, loads by order number."""
    first, placed = 1, []
    for load in sorted(loads, key=lambda load: load.order_number):
        placed.append((load, first))
        first += load.positions
    return placed


def _place(load: CartLoad, first: int) -> list[tuple[PlannedBag, int]]:
    """The bags of a load spread over its positions in the order of the bins, each position filled in turn."""
    volume_mm3 = sum(bag.counted.bag_type.usable_volume_mm3 for bag in load.bags)
    share_mm3 = volume_mm3 / load.positions
    placed, filled_mm3 = [], 0.0
    for bag in load.bags:
        placed.append((bag, first + min(load.positions - 1, int(filled_mm3 / share_mm3))))
        filled_mm3 += bag.counted.bag_type.usable_volume_mm3
    return placed


def _bag(bag: PlannedBag, code: str, walk_number: str, position: int, stop_no: int) -> Bag:
    counted = bag.counted
    return Bag(
        code=code,
        order_number=bag.order_number,
        line_no=bag.line_no,
        part_number=bag.place.part_number,
        bin_code=bag.place.code,
        lot=bag.place.lot,
        pieces=counted.pieces,
        bag_type=counted.bag_type.code,
        walk_number=walk_number,
        cart_position=position,
        stop_no=stop_no,
        method=counted.method,
        scale_code=counted.scale_code,
        tare_g=counted.bag_type.tare_g,
        target_g=counted.target_g,
        lower_g=counted.lower_g,
        upper_g=counted.upper_g,
        p_reject=counted.p_reject,
        p_pass_one_short=counted.p_pass_one_short,
        p_pass_one_over=counted.p_pass_one_over,
        reason=counted.reason,
    )
