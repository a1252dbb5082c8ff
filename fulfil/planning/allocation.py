"""Who gets which pieces: first come, first served, explained line by line.

Rule *first come*: orders in the order of their arrival (ties by order number), their lines by line number, take
what their part's bins still hold. A line takes from as few bins as it can: the emptiest bin that holds all of it,
else the fullest one first; equal levels go by bin code. An order that the customer wants complete takes
nothing unless every line can be had; what it leaves goes to later orders.

>>> from fulfil.records.tiny import BIN, LINE, ORDER
>>> allocate_first_come([(ORDER, [LINE])], [BIN]).allocations[0].pieces
40
>>> allocate_first_come([(ORDER, [LINE])], [BIN]).short_pieces
{('A-1', 1): 10}

Limits: one day at a time; no line is ever promised a piece twice, and no level goes below zero.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from fulfil.records.order import Order, OrderLine
from fulfil.records.place import Bin
from fulfil.records.plan import Allocation


@dataclass(frozen=True)
class Allocated:
    """What was promised from which bin, what is short by line, and which orders wait to be complete."""

    allocations: tuple[Allocation, ...]
    short_pieces: dict[tuple[str, int], int]
    waiting: tuple[str, ...]


def allocate_first_come(orders: Iterable[tuple[Order, Sequence[OrderLine]]], bins: Iterable[Bin]) -> Allocated:
    """Allocates the free pieces of ``bins`` to orders, first come, first served.

    ``bins`` carry free pieces: the level by the books less what is already promised.
    """
    free = _Free(bins)
    allocations: list[Allocation] = []
    short: dict[tuple[str, int], int] = {}
    waiting: list[str] = []
    for order, lines in sorted(orders, key=lambda pair: (pair[0].received_at, pair[0].number)):
        wanted = [(line, line.pieces - line.cancelled_pieces) for line in sorted(lines, key=lambda line: line.line_no)]
        lacking = free.lacking(wanted)
        if order.ship_complete and lacking:
            waiting.append(order.number)
            short.update({(order.number, line_no): pieces for line_no, pieces in lacking.items()})
            continue
        for line, pieces in wanted:
            taken = free.take(line.part_number, pieces)
            allocations += [
                Allocation(order_number=order.number, line_no=line.line_no, bin_code=code, pieces=n)
                for code, n in taken
            ]
            missing = pieces - sum(n for _, n in taken)
            if missing:
                short[order.number, line.line_no] = missing
    return Allocated(tuple(allocations), short, tuple(waiting))


class _Free:
    """Free pieces by part and bin."""

    def __init__(self, bins: Iterable[Bin]) -> None:
        self._bins: dict[str, dict[str, int]] = defaultdict(dict)
        for place in bins:
            self._bins[place.part_number][place.code] = place.pieces

    def lacking(self, wanted: Sequence[tuple[OrderLine, int]]) -> dict[int, int]:
        """Pieces that each line would lack if all lines were served in turn."""
        left = {line.part_number: sum(self._bins[line.part_number].values()) for line, _ in wanted}
        lacking: dict[int, int] = {}
        for line, pieces in wanted:
            taken = min(pieces, left[line.part_number])
            left[line.part_number] -= taken
            if taken < pieces:
                lacking[line.line_no] = pieces - taken
        return lacking

    def take(self, part_number: str, pieces: int) -> list[tuple[str, int]]:
        """Takes up to ``pieces`` from as few bins as the rule allows."""
        levels = self._bins[part_number]
        enough = sorted((level, code) for code, level in levels.items() if level >= pieces)
        order = [enough[0][1]] if enough else sorted(levels, key=lambda code: (-levels[code], code))
        taken = []
        for code in order:
            n = min(pieces, levels[code])
            if n:
                taken.append((code, n))
                levels[code] -= n
                pieces -= n
        return taken
