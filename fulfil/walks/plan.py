"""Plan the day: promise stock, name the shorts, bag each line, batch orders onto carts, walk each the shortest way.

Orders that are received (or planned, but not yet on a released walk) are planned together; a released walk is on
paper and stays as it is. Planning again before release gives the same plan for the same orders.
"""

from collections import defaultdict
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, time

from fulfil.counting.count_lines import Bench, LotWeight, bench_of, count_line, weight_for_lot
from fulfil.counting.scale_checks import usable_scales
from fulfil.counting.scale_room import bias_shares
from fulfil.orders.moving import forget_bags
from fulfil.planning.allocation import Allocated
from fulfil.planning.plan import Batches, Plan
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import BagType
from fulfil.records.happening import Happening
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import Owed, OwedMove
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Allocation, Bag, PlanRecord, WalkRecord
from fulfil.records.settings import Settings
from fulfil.room.walk import shortest_walk
from fulfil.shop.numbers import next_code
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.allocating import OrdersWithLines, allocate_open, to_plan, write_promises
from fulfil.walks.cart import CartLoad, PlannedBag, cart_loads
from fulfil.walks.floor import Floor, floor_of, in_walking_order
from fulfil.walks.rooms import LESS, batches_in
from fulfil.walks.two_bins import nearer_bins


@dataclass(frozen=True)
class DayPlan:
    """What was planned: the plan's record, its walks, how many bags, which lines are short, which orders wait.

    ``moves`` are the pieces that are elsewhere than before, and why: planning again forgets none.
    """

    record: PlanRecord | None
    walks: tuple[WalkRecord, ...]
    bags: int
    short_lines: int
    waiting: tuple[str, ...]
    moves: tuple[OwedMove, ...] = ()

    def went(self) -> list[str]:
        """Where each piece goes that is elsewhere than before, in the order of its line."""
        words = {Owed.PROMISED: "from bin", Owed.SHORT: "short", Owed.HELD: "held until the order is complete"}
        return [
            f"Order {move.order_number}, line {move.line_no}: {move.pieces} of {move.part_number} "
            f"{words[move.to_place]} {move.to_ref}".rstrip()
            + "."
            for move in self.moves
            if move.to_place in words
        ]

    def tells(self) -> list[str]:
        """For whom something is otherwise than an earlier plan had it; new orders that are promised aren't named."""
        return [
            f"Order {move.order_number}, line {move.line_no}: {move.pieces} pieces of {move.part_number} were "
            f"{move.from_place}{f' from {move.from_ref}' if move.from_ref else ''}, now {move.to_place}"
            f"{f' from {move.to_ref}' if move.to_ref else ''}."
            for move in self.moves
            if move.from_place is not Owed.WAITING
        ]


@dataclass(frozen=True)
class _Shelf:
    """What the plan reads of the shop, once."""

    settings: Settings
    bench: Bench
    floor: Floor
    parts: dict[str, Part]
    unit_weights: dict[str, list[UnitWeight]]
    bins: dict[str, Bin]
    services: dict[str, Service]

    def unit_weight(self, place: Bin) -> LotWeight | None:
        """The unit weight for a bin's lot."""
        return weight_for_lot(self.unit_weights.get(place.part_number, ()), place.lot)


def plan_day(
    shop: Shop,
    *,
    day: date,
    at: datetime,
    person: str,
    seed: int = 0,
    effort: str = "normal",
    only: Sequence[str] | None = None,
    by_cut_off: bool = False,
) -> tuple[DayPlan, Plan | None]:
    """Plans all orders that aren't on a released walk and writes the plan into the shop.

    With ``by_cut_off`` only orders whose services have the same cut-off share a cart: walks get longer, but early
    cut-offs wait for nothing else. ``only`` plans what some orders still want onto walks of their own, and leaves
    every other plan as it is.

    Returns what was planned and the batching plan itself (None when there was nothing to walk for), which
    :func:`fulfil.planning.proving.proof.prove` can be asked about.

    Raises:
        PlanRefused: when an order can't be carried or bagged.
        RoomRefused: when the room can't be walked.
    """
    with shop.writing() as books:
        return plan_within(
            books, day=day, at=at, person=person, seed=seed, effort=effort, only=only, by_cut_off=by_cut_off
        )


def plan_within(
    books: Books,
    *,
    day: date,
    at: datetime,
    person: str,
    seed: int = 0,
    effort: str = "normal",
    only: Sequence[str] | None = None,
    by_cut_off: bool = False,
) -> tuple[DayPlan, Plan | None]:
    """:func:`plan_day` inside the caller's transaction."""
    if only is None:
        forget_bags(books)
    shelf = _shelf(books, day)
    open_ = to_plan(books, shelf.bins.values(), only)
    orders, free = open_.orders, open_.free
    allocated = allocate_open(books, open_)
    cut_off_of = {order.number: shelf.services[order.service_code].cut_off for order, _ in orders}

    def batched(loads: list[CartLoad], effort: str, start: Sequence[Sequence[int]] | None = None) -> Plan | None:
        groups = [cut_off_of[load.order_number] for load in loads] if by_cut_off else None
        return _batches(loads, shelf, groups, seed=seed, effort=effort, start=start)

    loads = _cart_loads(allocated.allocations, shelf)
    batches = batched(loads, effort)
    if batches is not None:
        allocated, loads, batches = _with_nearer_bins(allocated, loads, batches, shelf, free, effort, batched)
    moves = write_promises(books, open_, allocated, at=at, person=person)
    record: PlanRecord | None = None
    walks: list[WalkRecord] = []
    bags: list[Bag] = []
    if batches is not None:
        wave = 1 + books.count(PlanRecord, day=day)
        walks, bags = _walks(books, loads, batches, shelf, orders, day, wave)
        record = PlanRecord(
            day=day,
            wave=wave,
            length_mm=sum(walk.length_mm for walk in walks),
            one_by_one_mm=batches.one_by_one_mm,
            seed=seed,
        )
        books.add([record, *walks, *bags])
    length_mm = 0 if record is None else record.length_mm
    particulars = {"walks": len(walks), "bags": len(bags), "length_mm": length_mm, "seed": seed}
    books.journal(at=at, person=person, event=Happening.WALKS_PLANNED, subject=str(day), particulars=particulars)
    planned = DayPlan(record, tuple(walks), len(bags), len(allocated.short_pieces), allocated.waiting, moves)
    if batches is not None:
        # How far any plan could get is asked, also of those that would let cut-offs share a cart.
        batches = replace(batches, groups=(None,) * len(loads))
    return planned, batches


def _shelf(books: Books, day: date) -> _Shelf:
    settings = books.settings()
    shares = bias_shares(books, day)
    bench = bench_of(usable_scales(books), books.find(BagType), settings, bias_shares=shares)
    unit_weights: dict[str, list[UnitWeight]] = defaultdict(list)
    for weight in books.find(UnitWeight):
        unit_weights[weight.part_number].append(weight)
    return _Shelf(
        settings=settings,
        bench=bench,
        floor=floor_of(books.find(RoomElement)),
        parts={part.number: part for part in books.find(Part)},
        unit_weights=unit_weights,
        bins={place.code: place for place in books.find(Bin)},
        services={service.code: service for service in books.find(Service)},
    )


def _cart_loads(allocations: Sequence[Allocation], shelf: _Shelf) -> list[CartLoad]:
    """Bags each promised piece and loads each order onto one cart or more, orders by number."""
    bags: dict[str, list[PlannedBag]] = defaultdict(list)
    for allocation in sorted(allocations, key=lambda one: (one.order_number, one.line_no, one.bin_code)):
        place = shelf.bins[allocation.bin_code]
        weight = shelf.unit_weight(place)
        record = None if weight is None else weight.record
        part = shelf.parts[place.part_number]
        for counted in count_line(part, weight, allocation.pieces, shelf.bench):
            bag = PlannedBag(allocation.order_number, allocation.line_no, place, record, counted)
            bags[allocation.order_number].append(bag)
    return [load for number in sorted(bags) for load in cart_loads(bags[number], shelf.settings, shelf.floor)]


def _batches(
    loads: Sequence[CartLoad],
    shelf: _Shelf,
    groups: Sequence[time] | None,
    *,
    seed: int,
    effort: str,
    start: Sequence[Sequence[int]] | None,
) -> Plan | None:
    if not loads:
        return None
    return batches_in(
        shelf.floor.room,
        [[shelf.floor.stop_of(bag.place) for bag in load.bags] for load in loads],
        capacity=shelf.settings.cart_positions,
        weights=[load.positions for load in loads],
        groups=groups,
        start=start,
        seed=seed,
        effort=effort,
    )


def _with_nearer_bins(
    allocated: Allocated,
    loads: list[CartLoad],
    batches: Plan,
    shelf: _Shelf,
    free: Sequence[Bin],
    effort: str,
    batched: Callable[[list[CartLoad], str, Batches], Plan | None],
) -> tuple[Allocated, list[CartLoad], Plan]:
    """The same plan with parts fetched from other bins where that is shorter, and batched again from there."""
    allocations = nearer_bins(
        allocated.allocations, loads, batches.batches, floor=shelf.floor, bins=shelf.bins, free=free
    )
    moved = _cart_loads(allocations, shelf)
    # Another lot may weigh more or need more bags, and so another cart: then the bins stay as they were.
    as_before = [(load.order_number, load.positions) for load in moved] == [
        (load.order_number, load.positions) for load in loads
    ]
    if allocations == allocated.allocations or not as_before:
        return allocated, loads, batches
    # The plan to start from is good already, so the search for the new bins is the shorter one.
    again = batched(moved, LESS.get(effort, effort), batches.batches)
    if again is None or again.length_mm > batches.length_mm:
        return allocated, loads, batches
    return replace(allocated, allocations=allocations), moved, again


def _walks(
    books: Books,
    loads: Sequence[CartLoad],
    batches: Plan,
    shelf: _Shelf,
    orders: OrdersWithLines,
    day: date,
    wave: int,
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
        walk, its_bags = _walk(books, [loads[index] for index in batch], shelf, day, wave)
        walks.append(walk)
        bags += its_bags
    return walks, bags


def _walk(books: Books, loads: Sequence[CartLoad], shelf: _Shelf, day: date, wave: int) -> tuple[WalkRecord, list[Bag]]:
    """One walk: its stops in walking order, its bags numbered in the order they are filled."""
    number = next_code(books, "W", day)
    riding = [(bag, position) for load, first in _positions(loads) for bag, position in _place(load, first)]
    places = {bag.place.code: bag.place for bag, _ in riding}
    tour = shortest_walk(shelf.floor.room, [shelf.floor.stop_of(place) for place in places.values()])
    ordered = in_walking_order(shelf.floor, places.values(), tour)
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
        wave=wave,
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
