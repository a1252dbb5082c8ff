"""Promise stock to orders: planning decides anew where every piece goes that is on no paper, and forgets none.

Planned are the orders with pieces that wait, are promised or short, unless a person holds them. An order that is being
packed waits until it has left, if all that it lacks is short. What lies in a bag on a released walk is on paper and
stays.
"""

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from math import gcd

from fulfil.errors import PlanRefused
from fulfil.orders.came_in import came_in
from fulfil.orders.move_building import At, PartOfLine, spread
from fulfil.orders.moving import WAITS, held_by_plan, moves_as_planned, place_as_planned
from fulfil.orders.places import Components, kits_of, left_in_bins, orders_with, promised_by_bin
from fulfil.planning.allocation import Allocated, Rule, allocate
from fulfil.planning.bagging import holds_piece
from fulfil.records.equipment import BagType
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part
from fulfil.records.pieces import UNPLANNED, Owed, OwedBalance, OwedMove
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.text import cut
from fulfil.store.books import Books
from fulfil.store.moving import Worked

OrdersWithLines = list[tuple[Order, list[OrderLine]]]
LineKey = tuple[str, int]


@dataclass(frozen=True)
class ToPlan:
    """Orders to plan with their lines; where each of their unplanned pieces is; what is free for them in each bin.

    ``wanted`` counts pieces of each line, of a kit whole kits; ``made_of`` says of a kit line which parts are in one.
    ``came_in`` says of the bins of one part which pieces came in first, where the shop keeps to that.
    ``no_bag`` are the orders that are left out, since no bag of the shop takes a piece of these parts.
    """

    orders: OrdersWithLines
    places: Mapping[PartOfLine, Mapping[At, int]]
    free: tuple[Bin, ...]
    wanted: Mapping[LineKey, int] = field(default_factory=dict)
    made_of: Mapping[LineKey, Components] = field(default_factory=dict)
    no_bag: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    came_in: Mapping[str, date] = field(default_factory=dict)


def rule_of(settings: Settings) -> Rule:
    """The rule that the shop has set.

    Raises:
        PlanRefused: it is none.
    """
    try:
        return Rule(settings.allocation_rule)
    except ValueError:
        raise PlanRefused("allocate by the rule", settings.allocation_rule, f"one of {', '.join(Rule)}") from None


def to_plan(books: Books, bins: Iterable[Bin], only: Sequence[str] | None = None) -> ToPlan:
    """What there is to plan.

    ``only`` restricts it to some orders, whose promises on walks that aren't released stay as they are.
    """
    decided = UNPLANNED if only is None else UNPLANNED - {Owed.PROMISED}
    numbers = [one for one in orders_with(books, *decided) if only is None or one in only]
    balances: dict[str, list[OwedBalance]] = defaultdict(list)
    for one in books.find(OwedBalance, order_number=numbers):
        balances[one.order_number].append(one)
    orders = [order for order in books.find(Order, number=numbers) if order.held_reason in ("", WAITS)]
    orders = [order for order in orders if not _is_packed(balances[order.number])]
    no_bag = _no_bag(books, {order.number: balances[order.number] for order in orders}, decided)
    orders = [order for order in orders if order.number not in no_bag]
    lines: dict[str, list[OrderLine]] = defaultdict(list)
    for line in books.find(OrderLine, order_number=[order.number for order in orders]):
        lines[line.order_number].append(line)
    open_ = [one for order in orders for one in balances[order.number] if one.place in decided]
    places = spread(open_)
    wanted, made_of = _wanted(lines, places, kits_of(books))
    promised = promised_by_bin(books)
    for one in open_:
        if one.place is Owed.PROMISED:
            promised[one.ref] -= one.pieces
    free = tuple(left_in_bins(bins, promised))
    first = came_in(books, free, {part for _, _, part in places}) if books.settings().first_in_first_out else {}
    return ToPlan([(order, lines[order.number]) for order in orders], places, free, wanted, made_of, no_bag, first)


def _no_bag(
    books: Books, balances: Mapping[str, Iterable[OwedBalance]], decided: Container[Owed]
) -> dict[str, tuple[str, ...]]:
    """For each order that wants them, the parts of which no bag takes a piece; one order must not keep all others."""
    wants = {number: {one.part_number for one in some if one.place in decided} for number, some in balances.items()}
    bag_types = books.find(BagType)
    if not bag_types:
        return {}
    parts = books.find(Part, number=sorted(set().union(*wants.values()))) if wants else []
    large = {
        part.number
        for part in parts
        if not any(holds_piece(bag, part.bulk_volume_mm3, part.sides_mm) for bag in bag_types)
    }
    return {number: tuple(sorted(some & large)) for number, some in wants.items() if some & large}


def _is_packed(balances: Iterable[OwedBalance]) -> bool:
    """Whether an order is being packed and lacks nothing but what is short."""
    at = {one.place for one in balances}
    return bool(at & {Owed.BOXED, Owed.SEALED}) and not at & {Owed.WAITING, Owed.PROMISED}


def _wanted(
    lines: Mapping[str, Sequence[OrderLine]],
    places: Mapping[PartOfLine, Mapping[At, int]],
    kits: Mapping[str, Components],
) -> tuple[dict[LineKey, int], dict[LineKey, Components]]:
    """What each line wants, and what one of it is made of."""
    parts: dict[LineKey, dict[str, int]] = defaultdict(dict)
    for (number, line_no, part), at in places.items():
        parts[number, line_no][part] = sum(at.values())
    wanted: dict[LineKey, int] = {}
    made_of: dict[LineKey, Components] = {}
    for line in (line for some in lines.values() for line in some):
        key = (line.order_number, line.line_no)
        needs = parts.get(key, {})
        if not needs:
            continue
        if set(needs) == {line.part_number}:
            wanted[key] = needs[line.part_number]
            continue
        per = dict(kits.get(line.part_number, ()))
        kits_wanted = {n // per[part] if part in per and n % per[part] == 0 else -1 for part, n in needs.items()}
        if set(needs) == set(per) and len(kits_wanted) == 1 and -1 not in kits_wanted:
            wanted[key], made_of[key] = kits_wanted.pop(), tuple(per.items())
        else:
            # Some of its bags are on their way: what is missing of a kit goes together, in as many shares as it can.
            shares = gcd(*needs.values())
            wanted[key] = shares
            made_of[key] = tuple((part, n // shares) for part, n in sorted(needs.items()))
    return wanted, made_of


def allocate_open(books: Books, plan: ToPlan, cut_offs: Mapping[str, datetime]) -> Allocated:
    """Allocates free pieces to what the orders still want, by the shop's rules; nothing is written."""
    named = {key: f"{key[0]}/{key[1]}" for key in plan.made_of}
    orders = [
        (order, [_as_kit(line, named) for line in lines if (line.order_number, line.line_no) in plan.wanted])
        for order, lines in plan.orders
    ]
    return allocate(
        orders,
        plan.free,
        rule=rule_of(books.settings()),
        cut_offs=cut_offs,
        kits={named[key]: parts for key, parts in plan.made_of.items()},
        wanted=plan.wanted,
        came_in=plan.came_in,
    )


def _as_kit(line: OrderLine, named: Mapping[LineKey, str]) -> OrderLine:
    name = named.get((line.order_number, line.line_no))
    return line if name is None else line.model_copy(update={"part_number": name})


def promising(plan: ToPlan, allocated: Allocated) -> tuple[OwedMove, ...]:
    """The moves of every piece of the planned orders to where it was decided: promised, short, held or waiting.

    Only what is to be another than before; nothing is written.
    """
    part_of = {place.code: place.part_number for place in plan.free}
    after: dict[PartOfLine, dict[At, int]] = {key: defaultdict(int) for key in plan.places}
    for one in allocated.allocations:
        after[one.order_number, one.line_no, part_of[one.bin_code]][Owed.PROMISED, one.bin_code] += one.pieces
    waiting = set(allocated.waiting)
    decided: dict[PartOfLine, tuple[Mapping[At, int], Mapping[At, int]]] = {}
    for key, before in sorted(plan.places.items()):
        line = key[:2]
        per = dict(plan.made_of.get(line, ((key[2], 1),)))[key[2]]
        total, promised = sum(before.values()), sum(after[key].values())
        short = min(total - promised, allocated.short_pieces.get(line, 0) * per)
        rest = total - promised - short
        places = dict(after[key])
        for place, pieces in ((Owed.SHORT, short), (Owed.HELD if key[0] in waiting else Owed.WAITING, rest)):
            if pieces:
                places[place, ""] = pieces
        decided[key] = before, places
    return moves_as_planned(decided, allocated.reasons)


@dataclass(frozen=True)
class Decided:
    """What is to be written of a decision: moves, orders that the plan holds or no longer holds, lines short anew."""

    moves: tuple[OwedMove, ...]
    orders: tuple[Order, ...]
    lines: tuple[OrderLine, ...]


def decided_of(plan: ToPlan, allocated: Allocated) -> Decided:
    """All that is to be written, made before anybody waits for it."""
    orders = held_by_plan([order for order, _ in plan.orders], set(allocated.waiting))
    reasons = [
        (line, cut(allocated.reasons.get((line.order_number, line.line_no), "")))
        for _, lines in plan.orders
        for line in lines
    ]
    short = tuple(revised(line, {"short_reason": why}) for line, why in reasons if line.short_reason != why)
    return Decided(promising(plan, allocated), tuple(orders), short)


def write_decided(books: Books, decided: Decided, worked: Worked, *, at: datetime, person: str) -> None:
    """Writes it, while all that it was decided by is still so; ``worked`` is what its moves come to in this state."""
    place_as_planned(books, worked, at=at, person=person)
    books.write_fields(decided.orders, ("held_reason",))
    books.write_fields(decided.lines, ("short_reason",))


__all__ = [
    "WAITS", "Decided", "OrdersWithLines", "ToPlan", "allocate_open", "decided_of", "promising", "rule_of", "to_plan",
    "write_decided",
]  # fmt: skip
