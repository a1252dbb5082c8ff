"""How far the day's plan is from the best possible: a lower bound, proven, written beside the plan.

The plan comes straight from planning, or is put together again from the walks and bags in the books. A proof may be
stopped at any time: what was proven up to then is kept.

Limits: the bound holds for the orders as they were bagged, from the bins they were promised from, and for orders larger
than a cart as they were split. In a room with one-way passages it is that of the same room with both ways open,
so it may lie lower than need be.
"""

from collections.abc import Callable
from datetime import date, datetime
from typing import TYPE_CHECKING

from fulfil.errors import RoomRefused, StateRefused
from fulfil.planning.plan import Plan
from fulfil.records.happening import Happening
from fulfil.records.place import RoomElement
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.revised import revised
from fulfil.room.block import Block
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.bin_places import need_bins
from fulfil.walks.floor import floor_of
from fulfil.walks.rooms import as_planned, has_bound

if TYPE_CHECKING:
    from fulfil.planning.proving.proof import Proof


def prove_plan(
    shop: Shop,
    plan: Plan,
    *,
    day: date,
    at: datetime,
    person: str,
    seconds: float,
    clock: Callable[[], float],
    progress: Callable[[int, int], None] | None = None,
) -> "Proof":
    """Drives the bound of a plan for at most ``seconds`` of ``clock`` and writes what was proven.

    A KeyboardInterrupt ends the proof; what was proven before it is written and returned.

    Raises:
        StateRefused: when the day has no plan.
    """
    # Its machine code takes seconds to make the first time, which only a proof should wait for.
    from fulfil.planning.proving.proof import Proof, prove

    with shop.reading() as books:
        _latest(books, day)
    best_mm = 0

    def met(length_mm: int, bound_mm: int) -> None:
        nonlocal best_mm
        best_mm = max(best_mm, bound_mm)
        if progress is not None:
            progress(length_mm, bound_mm)

    try:
        proof = prove(plan, seconds=seconds, clock=clock, progress=met)
    except KeyboardInterrupt:
        proof = Proof(bound_mm=best_mm, closed=best_mm >= plan.length_mm, plan=plan)
    keep_bound(shop, proof.bound_mm, proof.closed, day=day, at=at, person=person)
    return proof


def keep_bound(shop: Shop, bound_mm: int, is_closed: bool, *, day: date, at: datetime, person: str) -> None:
    """Writes what was proven beside the day's latest plan.

    Raises:
        StateRefused: when the day has no plan.
    """
    with shop.writing() as books:
        record = _latest(books, day)
        # An earlier proof of the same plan may have come further: both hold, so the better one counts.
        best_mm = max(bound_mm, record.bound_mm or 0)
        closed = is_closed if bound_mm == best_mm else record.bound_is_closed
        books.replace([revised(record, {"bound_mm": best_mm or None, "bound_is_closed": closed})])
        particulars = {"bound_mm": bound_mm, "closed": is_closed}
        books.journal(at=at, person=person, event=Happening.PLAN_BOUNDED, subject=str(day), particulars=particulars)


def plan_in_books(books: Books, *, day: date) -> Plan:
    """The day's latest plan, put together from its walks and bags.

    What an order takes of a cart is the number of positions that its bags stand on.

    Raises:
        StateRefused: the day has no plan, or its walks changed since.
        RoomRefused: no bound can be proven in this room.
    """
    record = _latest(books, day)
    floor = floor_of(books.find(RoomElement))
    if not has_bound(floor.room):
        raise RoomRefused("prove plans in a room of", type(floor.room).__name__, "a room that can be swept")
    walks = books.find(WalkRecord, day=day, wave=record.wave)
    bags = books.find(Bag, walk_number=[walk.number for walk in walks])
    bins = need_bins(books, (bag.bin_code for bag in bags), "prove the plan of", day)
    loads: dict[tuple[str, str], list[Bag]] = {}
    for bag in sorted(bags, key=lambda one: (one.walk_number, one.order_number, one.code)):
        loads.setdefault((bag.walk_number, bag.order_number), []).append(bag)
    keys = list(loads)
    plan = as_planned(
        floor.room,
        [[floor.stop_of(bins[bag.bin_code]) for bag in loads[key]] for key in keys],
        [[place for place, (number, _) in enumerate(keys) if number == walk.number] for walk in walks],
        capacity=books.settings().cart_positions,
        weights=[len({bag.cart_position for bag in loads[key]}) for key in keys],
    )
    is_exact = isinstance(floor.room, Block) or floor.room.sweep is not None
    if is_exact and plan.length_mm != record.length_mm:
        raise StateRefused("prove the plan of", day, "bins where they were when it was planned; plan again")
    return plan


def _latest(books: Books, day: date) -> PlanRecord:
    records = books.find(PlanRecord, day=day)
    if not records:
        raise StateRefused("prove the plan of", day, "a planned day; plan first")
    return records[-1]
