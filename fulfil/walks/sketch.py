"""A plan before it is written: looked at in one state of the shop, searched without it, held against it again.

A search takes seconds; a bench that waits for them weighs nothing. So planning has three steps, of which only the last
has the shop to itself: :func:`look` reads, :func:`search` thinks, and :func:`still_so` tells whether anything that the
search rests on has changed meanwhile: the orders and lines to plan, where their unplanned pieces are, what is free in
bins of their parts, those parts' unit weights, the scales, bag types, services, settings and the room. What else
happened (a bag that passed, a package that was weighed, another part that came in) disturbs no plan.

The rule is optimistic concurrency control (Kung & Robinson 1981, ACM TODS 6(2): read, validate, write).
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from fulfil.counting.bench_of_day import bench_of_day
from fulfil.counting.count_lines import Bench, Counted, count_line
from fulfil.counting.lot_weights import LotWeight, weight_for_lot
from fulfil.planning.allocation import Allocated
from fulfil.planning.plan import Batches, Plan
from fulfil.planning.searching.search import efforts_up_to
from fulfil.planning.which_bin import ranks_of
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Allocation
from fulfil.records.settings import Settings
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.books import Books
from fulfil.store.known import Known
from fulfil.walks.allocating import ToPlan, allocate_open, to_plan
from fulfil.walks.cart import CartLoad, PlannedBag, cart_loads
from fulfil.walks.floor import Floor, floor_of
from fulfil.walks.rooms import LESS, batches_in
from fulfil.walks.two_bins import nearer_bins
from fulfil.walks.under_way.rushed import rushed_orders


@dataclass(frozen=True)
class Asked:
    """What is asked of a plan; the fields are those of :func:`fulfil.walks.plan.plan_day`."""

    day: date
    seed: int = 0
    effort: str = "normal"
    only: tuple[str, ...] | None = None
    by_cut_off: bool = False


@dataclass(frozen=True)
class Shelf:
    """What the plan reads of the shop beside its orders, for the parts that they want."""

    settings: Settings
    bench: Bench
    elements: list[RoomElement]
    floor: Floor
    parts: dict[str, Part]
    unit_weights: dict[str, list[UnitWeight]]
    bins: dict[str, Bin]
    cut_offs: dict[str, datetime]
    rushed: dict[str, bool]

    def unit_weight(self, place: Bin) -> LotWeight | None:
        """The unit weight for a bin's lot."""
        return weight_for_lot(self.unit_weights.get(place.part_number, ()), place.lot)


@dataclass(frozen=True)
class Seen:
    """What was read: ``rests_on`` is all that must still be so when the plan is written; ``known`` are the answers."""

    asked: Asked
    shelf: Shelf
    open_: ToPlan
    allocated: Allocated
    rests_on: tuple[object, ...]
    known: Known


@dataclass(frozen=True)
class Sketch:
    """What was found: who gets what from where, on which carts; ``batches`` is None where nobody walks."""

    seen: Seen
    allocated: Allocated
    loads: list[CartLoad]
    batches: Plan | None


def look(books: Books, asked: Asked) -> Seen:
    """Reads what is to be planned, and shares the stock out."""
    bins, known = books.find(Bin), Known()
    with books.knowing(known):
        open_ = to_plan(books, bins, asked.only)
        shelf = _shelf(books, asked.day, open_)
    return Seen(asked, shelf, open_, allocate_open(books, open_, shelf.cut_offs), _rests_on(open_, shelf), known)


def still_so(books: Books, seen: Seen) -> bool:
    """Whether all that the search rests on is as it was; reads no more of the shop than that."""
    with books.knowing(seen.known):
        open_ = to_plan(books, books.find(Bin, part_number=_parts(seen.open_)), seen.asked.only)
        return (
            _parts(open_) == _parts(seen.open_)
            and _rests_on(open_, _shelf(books, seen.asked.day, open_)) == seen.rests_on
        )


def search(seen: Seen) -> Sketch:
    """Bags, carts and walks; the shop isn't asked.

    Which bins are nearer depends on the batches, so a better plan of batches may end with longer walks. Therefore an
    effort begins where the next lesser one ended, with its bins, and more effort never gives a worse plan.

    Raises:
        PlanRefused: when an order can't be carried or bagged.
        RoomRefused: when the room can't be walked.
    """
    shelf, asked = seen.shelf, seen.asked
    cut_off_of = {order.number: shelf.cut_offs[order.service_code] for order, _ in seen.open_.orders}

    def by_cut_off(number: str) -> datetime | None:
        return cut_off_of[number] if asked.by_cut_off else None

    def batched(loads: list[CartLoad], effort: str, start: Sequence[Sequence[int]] | None = None) -> Plan | None:
        groups = [
            (load.order_number if shelf.rushed.get(load.order_number) else "", by_cut_off(load.order_number))
            for load in loads
        ]
        return _batches(loads, shelf, groups, seed=asked.seed, effort=effort, start=start)

    known: HowCounted = {}
    allocated, loads = seen.allocated, _cart_loads(seen.allocated.allocations, shelf, known)
    batches: Plan | None = None
    for effort in efforts_up_to(asked.effort):
        found = batched(loads, effort, None if batches is None else batches.batches)
        if found is None:
            break
        batches = found if batches is None or found.cost_mm < batches.cost_mm else batches
        allocated, loads, batches = _with_nearer_bins(
            allocated, loads, batches, shelf, seen.open_, known, effort, batched
        )
    return Sketch(seen, allocated, loads, batches)


def _parts(open_: ToPlan) -> list[str]:
    """The parts that lines and kits to be planned want."""
    return sorted({part for _, _, part in open_.places})


def _rests_on(open_: ToPlan, shelf: Shelf) -> tuple[object, ...]:
    parts = set(_parts(open_))
    # Where an order stands changes with every bag of it that passes, and what is free doesn't.
    orders = [(order.__dict__ | {"state": None}, lines) for order, lines in open_.orders]
    free = [place for place in open_.free if place.part_number in parts]
    places = {key: dict(at) for key, at in open_.places.items()}
    others = (shelf.settings, shelf.bench, shelf.elements, shelf.parts, shelf.unit_weights, shelf.cut_offs)
    mappings = (dict(open_.wanted), dict(open_.made_of), dict(open_.came_in), shelf.rushed)
    return orders, places, free, *mappings, *others


def _shelf(books: Books, day: date, open_: ToPlan) -> Shelf:
    settings = books.settings()
    bench = bench_of_day(books, day)
    wanted = _parts(open_)
    unit_weights: dict[str, list[UnitWeight]] = defaultdict(list)
    for weight in books.find(UnitWeight, part_number=wanted):
        unit_weights[weight.part_number].append(weight)
    elements = books.find(RoomElement)
    return Shelf(
        settings=settings,
        bench=bench,
        elements=elements,
        floor=floor_of(elements),
        parts={part.number: part for part in books.find(Part, number=wanted)},
        unit_weights=unit_weights,
        bins={place.code: place for place in open_.free},
        cut_offs=cut_offs_of(books, day),
        rushed=rushed_orders(books, (order.number for order, _ in open_.orders)),
    )


HowCounted = dict[tuple[str, str, int], tuple[Counted, ...]]
"""How so many pieces of a part's lot are bagged and counted, as far as that was asked for one plan."""


def _cart_loads(allocations: Sequence[Allocation], shelf: Shelf, known: HowCounted) -> list[CartLoad]:
    """Bags each promised piece and loads each order onto one cart or more, orders by number."""
    bags: dict[str, list[PlannedBag]] = defaultdict(list)
    for allocation in sorted(allocations, key=lambda one: (one.order_number, one.line_no, one.bin_code)):
        place = shelf.bins[allocation.bin_code]
        weight = shelf.unit_weight(place)
        record = None if weight is None else weight.record
        key = (place.part_number, place.lot, allocation.pieces)
        if key not in known:
            known[key] = count_line(shelf.parts[place.part_number], weight, allocation.pieces, shelf.bench)
        for counted in known[key]:
            bag = PlannedBag(allocation.order_number, allocation.line_no, place, record, counted)
            bags[allocation.order_number].append(bag)
    return [load for number in sorted(bags) for load in cart_loads(bags[number], shelf.settings, shelf.floor)]


def _batches(
    loads: Sequence[CartLoad],
    shelf: Shelf,
    groups: Sequence[Hashable],
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
        # Plans take the least time: fetching a cart costs as much as the way that could be walked meanwhile.
        set_up_mm=round(1000 * shelf.settings.setup_seconds_per_walk * shelf.settings.walk_m_per_s),
    )


def _with_nearer_bins(
    allocated: Allocated,
    loads: list[CartLoad],
    batches: Plan,
    shelf: Shelf,
    open_: ToPlan,
    known: HowCounted,
    effort: str,
    batched: Callable[[list[CartLoad], str, Batches], Plan | None],
) -> tuple[Allocated, list[CartLoad], Plan]:
    """The same plan with parts fetched from other bins where that is shorter, and batched again from there."""
    allocations = nearer_bins(
        allocated.allocations,
        loads,
        batches.batches,
        floor=shelf.floor,
        bins=shelf.bins,
        free=open_.free,
        ranks=ranks_of(open_.free, open_.came_in),
    )
    moved = _cart_loads(allocations, shelf, known)
    # Another lot may weigh more or need more bags, and so another cart: then the bins stay as they were.
    as_before = [(load.order_number, load.positions) for load in moved] == [
        (load.order_number, load.positions) for load in loads
    ]
    if allocations == allocated.allocations or not as_before:
        return allocated, loads, batches
    # The plan to start from is good already, so the search for the new bins is the shorter one.
    again = batched(moved, LESS.get(effort, effort), batches.batches)
    if again is None or again.cost_mm > batches.cost_mm:
        return allocated, loads, batches
    return replace(allocated, allocations=allocations), moved, again
