"""Plan the day: promise stock, name the shorts, bag each line, batch orders onto carts, walk each the shortest way.

Orders that are received (or planned, but not yet on a released walk) are planned together; a released walk is on
paper and stays as it is. Planning again before release gives the same plan for the same orders.

The walks are searched beside the shop's work, from one state of it (:mod:`fulfil.walks.sketch`); nobody at a bench
waits for that, nor for the walks, bags and moves that are made of it. Written are they, whole or not at all, only if
the orders, stock and weights that they rest on are still so; else they are searched again.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from functools import partial

from fulfil.orders.moving import forget_bags, worked_as_planned
from fulfil.planning.plan import Plan
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.pieces import Owed, OwedMove
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.revised import revised
from fulfil.room.walk import shortest_walk
from fulfil.shop.numbers import coming, next_codes
from fulfil.store.books import Books
from fulfil.store.moving import Worked
from fulfil.store.shop import Shop
from fulfil.walks.allocating import Decided, decided_of, write_decided
from fulfil.walks.cart import PlannedBag, cart_findings, on_cart
from fulfil.walks.floor import in_walking_order
from fulfil.walks.sketch import Asked, Shelf, Sketch, look, search, still_so

MOST_SKETCHES = 5
"""How often the walks are searched again when orders or stock changed meanwhile."""


@dataclass(frozen=True)
class DayPlan:
    """What was planned: the plan's record, its walks, how many bags, which lines are short, which orders wait.

    ``moves`` are the pieces that are elsewhere than before, and why: planning again forgets none. ``no_bag`` says which
    orders were left out since no bag takes a piece of theirs, ``findings`` what rides on a cart as it should not.
    """

    record: PlanRecord | None
    walks: tuple[WalkRecord, ...]
    bags: int
    short_lines: int
    waiting: tuple[str, ...]
    moves: tuple[OwedMove, ...] = ()
    no_bag: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = ()

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

    The search holds nobody up. Where orders or stock changed meanwhile it is made again; after :data:`MOST_SKETCHES`
    times everybody else waits for one with the least effort, so that planning comes to an end in a busy shop too.

    Returns what was planned and the batching plan itself (None when there was nothing to walk for), which
    :func:`fulfil.planning.proving.proof.prove` can be asked about.

    Raises:
        PlanRefused: when an order can't be carried or bagged.
        RoomRefused: when the room can't be walked.
    """
    asked = Asked(day, seed=seed, effort=effort, only=None if only is None else tuple(only), by_cut_off=by_cut_off)
    for _ in range(MOST_SKETCHES):
        with shop.reading() as books:
            seen, numbers = look(books, asked), _numbers(books, asked.day)
        ready = _made_ready(search(seen), numbers)
        with shop.writing_with(partial(_if_still_so, ready=ready)) as (books, worked):
            if worked is not None:
                return _write(books, ready, worked, at=at, person=person)
    # Others wait for as long as this takes: so it is the least search, and somebody does get on.
    with shop.writing() as books:
        return plan_within(
            books, day=day, at=at, person=person, seed=seed, effort="none", only=only, by_cut_off=by_cut_off
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
    """:func:`plan_day` inside the caller's transaction: for a few orders, whose search is short."""
    asked = Asked(day, seed=seed, effort=effort, only=None if only is None else tuple(only), by_cut_off=by_cut_off)
    ready = _made_ready(search(look(books, asked)), _numbers(books, day))
    return _write(books, ready, worked_as_planned(books, ready.decided.moves), at=at, person=person)


@dataclass(frozen=True)
class _Numbers:
    """The numbers that the next plan's walks and bags would get, and its wave, unless another plan is faster."""

    walks: Iterator[str]
    bags: Iterator[str]
    wave: int


def _numbers(books: Books, day: date) -> _Numbers:
    return _Numbers(coming(books, "W", day), coming(books, "B", day), _next_wave(books, day))


def _next_wave(books: Books, day: date) -> int:
    return 1 + books.count(PlanRecord, day=day)


@dataclass(frozen=True)
class _Ready:
    """A sketch with all that can be made of it before the shop is asked for: every second under the lock is a wait.

    ``walks`` have their bags in the order in which they are filled, all with the numbers that they will get if no
    other plan is faster.
    """

    sketch: Sketch
    decided: Decided
    walks: tuple[tuple[WalkRecord, tuple[Bag, ...]], ...]
    findings: tuple[Finding, ...]


def _made_ready(sketch: Sketch, numbers: _Numbers) -> _Ready:
    """The moves, walks and bags of a sketch; rush orders' walks first, then by cut-off, ties by their first order."""
    seen, loads, batches = sketch.seen, sketch.loads, sketch.batches
    decided = decided_of(seen.open_, sketch.allocated)
    cut_off_of = {order.number: seen.shelf.cut_offs[order.service_code] for order, _ in seen.open_.orders}

    def urgency(batch: Sequence[int]) -> tuple[bool, object, str]:
        return (
            not any(loads[index].order_number in seen.shelf.rushed for index in batch),
            min(cut_off_of[loads[index].order_number] for index in batch),
            min(loads[index].order_number for index in batch),
        )

    batched = () if batches is None else sorted(batches.batches, key=urgency)
    carts = [[loads[index] for index in batch] for batch in batched]
    settings, parts = seen.shelf.settings, seen.shelf.parts
    riding = [on_cart(cart, settings, parts) for cart in carts]
    walks = tuple(_walk(bags, seen.shelf, seen.asked.day, numbers) for bags in riding)
    findings = [one for bags in riding for one in cart_findings(bags, settings, parts)]
    return _Ready(sketch, decided, walks, tuple(findings))


def _if_still_so(books: Books, ready: _Ready) -> Worked | None:
    """What its moves come to, if all that the sketch rests on is still so."""
    return worked_as_planned(books, ready.decided.moves) if still_so(books, ready.sketch.seen) else None


def _write(books: Books, ready: _Ready, worked: Worked, *, at: datetime, person: str) -> tuple[DayPlan, Plan | None]:
    """Writes what was found: the promises, the walks and their bags, whose numbers are taken here."""
    sketch = ready.sketch
    seen, batches, allocated = sketch.seen, sketch.batches, sketch.allocated
    day, seed = seen.asked.day, seen.asked.seed
    if seen.asked.only is None:
        forget_bags(books)
    write_decided(books, ready.decided, worked, at=at, person=person)
    record: PlanRecord | None = None
    walks: list[WalkRecord] = []
    bags: list[Bag] = []
    if batches is not None:
        wave = _next_wave(books, day)
        walks, bags = _numbered(books, ready.walks, day, wave)
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
    no_bag = tuple(
        f"order {number} is not planned: no bag takes {', '.join(parts)}"
        for number, parts in sorted(seen.open_.no_bag.items())
    )
    short = len(allocated.short_pieces)
    moves = ready.decided.moves
    planned = DayPlan(record, tuple(walks), len(bags), short, allocated.waiting, moves, no_bag, ready.findings)
    if batches is not None:
        # How far any plan could get is asked, also of those that would let cut-offs share a cart.
        batches = replace(batches, groups=(None,) * len(sketch.loads))
    return planned, batches


def _numbered(
    books: Books, ready: Sequence[tuple[WalkRecord, Sequence[Bag]]], day: date, wave: int
) -> tuple[list[WalkRecord], list[Bag]]:
    """Takes the numbers of walks and bags, in the order given; who has another one already gets it anew."""
    if not ready:
        return [], []
    filled = [bag for _, bags in ready for bag in bags]
    numbers, codes = next_codes(books, "W", day, len(ready)), next_codes(books, "B", day, len(filled))
    before = [walk for walk, _ in ready]
    if (
        [walk.number for walk in before] == numbers
        and [bag.code for bag in filled] == codes
        and all(walk.wave == wave for walk in before)
    ):
        return before, filled
    number_of = {walk.number: number for walk, number in zip(before, numbers, strict=True)}
    walks = [revised(walk, {"number": number_of[walk.number], "wave": wave}) for walk in before]
    bags = [
        revised(bag, {"code": code, "walk_number": number_of[bag.walk_number]})
        for bag, code in zip(filled, codes, strict=True)
    ]
    return walks, bags


def _walk(
    on_it: Sequence[tuple[PlannedBag, int]], shelf: Shelf, day: date, numbers: _Numbers
) -> tuple[WalkRecord, tuple[Bag, ...]]:
    """One walk of bags with their positions: its stops in walking order, its bags in the order they are filled."""
    riding = [*on_it]
    places = {bag.place.code: bag.place for bag, _ in riding}
    tour = shortest_walk(shelf.floor.room, [shelf.floor.stop_of(place) for place in places.values()])
    ordered = in_walking_order(shelf.floor, places.values(), tour)
    stop_no = {place.code: index for index, place in enumerate(ordered, start=1)}
    riding.sort(key=lambda pair: (stop_no[pair[0].place.code], pair[1], pair[0].order_number, pair[0].line_no))
    number = next(numbers.walks)
    bags = tuple(
        _bag(bag, position, stop_no[bag.place.code], code=next(numbers.bags), walk_number=number)
        for bag, position in riding
    )
    walk = WalkRecord(
        number=number,
        day=day,
        length_mm=tour.length_mm,
        orders=len({bag.order_number for bag, _ in riding}),
        stops=len(ordered),
        wave=numbers.wave,
    )
    return walk, bags


def _bag(bag: PlannedBag, position: int, stop_no: int, *, code: str, walk_number: str) -> Bag:
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
        pours=counted.pours,
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
