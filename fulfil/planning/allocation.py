"""Who gets which pieces: by a named rule, explained line by line.

*First come*: orders in the order of their arrival (ties by order number). *Cut-off first*: by the cut-off of their
service, then as they came. *Most complete orders*: first the orders that :mod:`fulfil.planning.complete_orders`
chooses, then the rest, both as they came. In each order, lines by line number take what their part's bins still hold.

Which bins a line takes from is for :mod:`fulfil.planning.which_bin`. An order that the customer wants complete takes
nothing unless every line can be had; what it leaves goes to later orders. A kit is a part made of parts: as many whole
kits are promised as the scarcest of them allows.

>>> from fulfil.records.tiny import BIN, LINE, ORDER
>>> allocated = allocate([(ORDER, [LINE])], [BIN])
>>> allocated.allocations[0].pieces, allocated.short_pieces
(40, {('A-1', 1): 10})
>>> allocated.reasons["A-1", 1]
'10 of 50 short: 40 were free at its turn; nobody was served before'

Limits: one day at a time; no line is ever promised a piece twice, and no level goes below zero.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from enum import StrEnum

from fulfil.planning.which_bin import ranks_of, taken_from
from fulfil.records.order import Order, OrderLine
from fulfil.records.place import Bin
from fulfil.records.plan import Allocation

MOST_NAMED = 3
Key = tuple[str, int]
Components = Sequence[tuple[str, int]]
"""The parts of a kit and how many of each are in one."""
_NEVER = datetime.max.replace(tzinfo=UTC)


class Rule(StrEnum):
    """By which rule orders are served."""

    FIRST_COME = "first come"
    CUT_OFF_FIRST = "cut-off first"
    MOST_COMPLETE = "most complete orders"


@dataclass(frozen=True)
class Allocated:
    """What was promised from which bin, what is short by line, and which orders wait to be complete.

    ``reasons`` says of every line that isn't promised in full why. ``complete`` orders are promised in full;
    ``bound`` is the most that any plan could complete, None where the rule doesn't ask.
    """

    allocations: tuple[Allocation, ...]
    short_pieces: dict[Key, int]
    waiting: tuple[str, ...]
    reasons: dict[Key, str] = field(default_factory=dict)
    complete: tuple[str, ...] = ()
    bound: int | None = None


def allocate(
    orders: Iterable[tuple[Order, Sequence[OrderLine]]],
    bins: Iterable[Bin],
    *,
    rule: Rule = Rule.FIRST_COME,
    cut_offs: Mapping[str, datetime] = {},
    kits: Mapping[str, Components] = {},
    wanted: Mapping[Key, int] | None = None,
    came_in: Mapping[str, date] = {},
) -> Allocated:
    """Allocates the free pieces of ``bins`` to orders.

    Args:
        orders: Orders with their lines.
        bins: Bins with their free pieces: the level by the books less what is already promised.
        rule: Whom to serve first.
        cut_offs: When each service collects next, by its code; a service without one comes last.
        kits: Parts made of parts.
        wanted: Pieces that each line still wants; without it, what was ordered less what was cancelled.
        came_in: When the pieces in each bin came in, for first in, first out; empty where the shop doesn't keep to it.
    """
    free = _Free([*bins], kits, came_in)
    asked = [
        _Asked(order, [(line, n) for line in sorted(lines, key=_line_no) if (n := _wants(line, wanted)) > 0])
        for order, lines in sorted(orders, key=lambda pair: (pair[0].received_at, pair[0].number))
    ]
    bound = None
    if rule is Rule.CUT_OFF_FIRST:
        asked.sort(key=lambda one: cut_offs.get(one.order.service_code, _NEVER))
    elif rule is Rule.MOST_COMPLETE:
        asked, bound = _most_complete_first(asked, free)
    serving = _Serving(free)
    for one in asked:
        serving.serve(one)
    return Allocated(
        tuple(serving.allocations),
        serving.short,
        tuple(serving.waiting),
        serving.reasons,
        tuple(serving.complete),
        bound,
    )


def _line_no(line: OrderLine) -> int:
    return line.line_no


def _wants(line: OrderLine, wanted: Mapping[Key, int] | None) -> int:
    if wanted is None:
        return line.pieces - line.cancelled_pieces
    return wanted.get((line.order_number, line.line_no), 0)


@dataclass(frozen=True)
class _Asked:
    """An order and what its lines want."""

    order: Order
    wanted: list[tuple[OrderLine, int]]


def _most_complete_first(asked: list[_Asked], free: "_Free") -> tuple[list[_Asked], int]:
    # Loaded late: the other rules need no solver.
    from fulfil.planning.complete_orders import most_complete

    demands = []
    for one in asked:
        demand: dict[str, int] = defaultdict(int)
        for line, pieces in one.wanted:
            for part, per in free.components(line.part_number):
                demand[part] += per * pieces
        demands.append(demand)
    chosen = most_complete(demands, free.totals, [one.order.ship_complete for one in asked])
    first = set(chosen.chosen)
    rest = [one for place, one in enumerate(asked) if place not in first]
    return [asked[place] for place in chosen.chosen] + rest, chosen.bound


class _Serving:
    """Serves one order after the other and remembers why."""

    def __init__(self, free: "_Free") -> None:
        self.free = free
        self.allocations: list[Allocation] = []
        self.short: dict[Key, int] = {}
        self.waiting: list[str] = []
        self.complete: list[str] = []
        self.reasons: dict[Key, str] = {}
        self._served: dict[str, list[tuple[str, int]]] = defaultdict(list)

    def serve(self, one: _Asked) -> None:
        """Promises what can be had, or nothing to an order that waits to be complete."""
        number = one.order.number
        lacking = self.free.lacking(one.wanted) if one.order.ship_complete else {}
        if lacking:
            self.waiting.append(number)
            lines = ", ".join(str(line_no) for line_no in sorted(lacking))
            for line, pieces in one.wanted:
                key = (number, line.line_no)
                if line.line_no in lacking:
                    self.short[key] = lacking[line.line_no]
                    self.reasons[key] = self._why(line, pieces, lacking[line.line_no])
                else:
                    self.reasons[key] = f"waits to be complete: line {lines} can't be had"
            return
        is_complete = True
        for line, pieces in one.wanted:
            had = self.free.available(line.part_number, pieces)
            if had < pieces:
                is_complete = False
                self.short[number, line.line_no] = pieces - had
                self.reasons[number, line.line_no] = self._why(line, pieces, pieces - had)
            if had:
                self._take(number, line, had)
        if is_complete and one.wanted:
            self.complete.append(number)

    def _take(self, number: str, line: OrderLine, pieces: int) -> None:
        for part, per in self.free.components(line.part_number):
            self._served[part].append((number, per * pieces))
            self.allocations += [
                Allocation(order_number=number, line_no=line.line_no, bin_code=code, pieces=n)
                for code, n in self.free.take(part, per * pieces)
            ]

    def _why(self, line: OrderLine, pieces: int, short: int) -> str:
        part = min(
            self.free.components(line.part_number), key=lambda one: (self.free.totals.get(one[0], 0) // one[1], one[0])
        )[0]
        of_kit = f" of {part}" if part != line.part_number else ""
        served: dict[str, int] = defaultdict(int)
        for number, n in self._served[part]:
            served[number] += n
        named = [f"{number} ({n})" for number, n in list(served.items())[-MOST_NAMED:]]
        more = f" and {len(served) - MOST_NAMED} more" if len(served) > MOST_NAMED else ""
        before = f"served before: {', '.join(named)}{more}" if served else "nobody was served before"
        return f"{short} of {pieces} short: {self.free.totals.get(part, 0)}{of_kit} were free at its turn; {before}"


class _Free:
    """Free pieces by part and bin."""

    def __init__(self, bins: Sequence[Bin], kits: Mapping[str, Components], came_in: Mapping[str, date]) -> None:
        self._kits = kits
        self._ranks = ranks_of(bins, came_in)
        self._bins: dict[str, dict[str, int]] = defaultdict(dict)
        self.totals: dict[str, int] = defaultdict(int)
        for place in bins:
            # A bin that was counted below what is promised from it has nothing to give.
            level = max(0, place.pieces)
            self._bins[place.part_number][place.code] = level
            self.totals[place.part_number] += level

    def components(self, part_number: str) -> Components:
        """The parts of a kit; of another part itself."""
        return self._kits.get(part_number) or ((part_number, 1),)

    def available(self, part_number: str, pieces: int) -> int:
        """Up to ``pieces`` whole pieces or kits that can be had."""
        return min(pieces, *(self.totals.get(part, 0) // per for part, per in self.components(part_number)))

    def lacking(self, wanted: Sequence[tuple[OrderLine, int]]) -> dict[int, int]:
        """Pieces that each line would lack if all lines were served in turn."""
        left: dict[str, int] = {}
        lacking: dict[int, int] = {}
        for line, pieces in wanted:
            parts = self.components(line.part_number)
            for part, _ in parts:
                left.setdefault(part, self.totals.get(part, 0))
            had = min(pieces, *(left[part] // per for part, per in parts))
            for part, per in parts:
                left[part] -= per * had
            if had < pieces:
                lacking[line.line_no] = pieces - had
        return lacking

    def take(self, part_number: str, pieces: int) -> list[tuple[str, int]]:
        """Takes ``pieces`` from the bins whose turn it is."""
        levels = self._bins[part_number]
        taken = taken_from(levels, pieces, self._ranks)
        for code, n in taken:
            levels[code] -= n
            self.totals[part_number] -= n
        return taken
