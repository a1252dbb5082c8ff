"""Cancellations and returns find the order lines they are about, or wait for them.

A notice's pieces go to lines of the same part, of the same name (letters of either case) and country, received before
it; the latest order first (ties by the higher number, then line), each line up to what was not cancelled or returned
before. Pieces of a line that lie in no bag are cancelled at once; the others come back, to be counted. What finds no
line waits, and is tried again with every import. A correction (a negative row of an ordinary order) always waits for a
person, and so does a notice without a name.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.day.allocating import forget_unreleased, kits_of, wanted_pieces
from fulfil.files.mapping import NOT_GIVEN
from fulfil.records.goods_back import ReturnKind, ReturnMatch, ReturnNotice
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.plan import Bag
from fulfil.store.books import Books


@dataclass(frozen=True)
class Matched:
    """What was found for the notices: matches made now, and the pieces of each notice that still wait."""

    matches: tuple[ReturnMatch, ...]
    waiting: dict[tuple[str, int], int]


def open_pieces(books: Books) -> dict[tuple[str, int], int]:
    """Pieces of each notice that have found no order line yet; notices that are all found are left out."""
    found: dict[tuple[str, int], int] = defaultdict(int)
    for match in books.find(ReturnMatch):
        found[match.number, match.line_no] += match.pieces
    left = {(one.number, one.line_no): one.pieces - found[one.number, one.line_no] for one in books.find(ReturnNotice)}
    return {key: pieces for key, pieces in left.items() if pieces}


def match_returns(books: Books, *, at: datetime, person: str) -> Matched:
    """Matches every notice that waits, in the order in which they came."""
    waiting = open_pieces(books)
    notices = [
        one
        for one in books.find(ReturnNotice, number=sorted({number for number, _ in waiting}))
        if (one.number, one.line_no) in waiting and one.kind is ReturnKind.RETURN and one.name != NOT_GIVEN
    ]
    if not notices:
        return Matched((), waiting)
    lines = _Lines(books, notices)
    made: dict[tuple[str, int, str, int], int] = defaultdict(int)
    for notice in sorted(notices, key=lambda one: (one.received_at, one.number, one.line_no)):
        key = (notice.number, notice.line_no)
        for order, line in lines.for_notice(notice):
            pieces = min(waiting[key], lines.left[order.number, line.line_no])
            if pieces:
                made[*key, order.number, line.line_no] += pieces
                lines.left[order.number, line.line_no] -= pieces
                waiting[key] -= pieces
    matches = [
        ReturnMatch(number=number, line_no=line_no, order_number=order_number, order_line_no=order_line, pieces=pieces)
        for (number, line_no, order_number, order_line), pieces in made.items()
    ]
    matches = _cancel(books, matches, at=at, person=person)
    books.add(matches)
    return Matched(tuple(matches), {key: pieces for key, pieces in waiting.items() if pieces})


class _Lines:
    """Order lines by name, country and part, with what is left of each to be returned."""

    def __init__(self, books: Books, notices: Sequence[ReturnNotice]) -> None:
        found = books.find(OrderLine, part_number=sorted({one.part_number for one in notices}))
        orders = {one.number: one for one in books.find(Order, number=sorted({line.order_number for line in found}))}
        self.left: dict[tuple[str, int], int] = {
            (line.order_number, line.line_no): line.pieces - line.cancelled_pieces for line in found
        }
        for match in books.find(ReturnMatch, order_number=sorted(orders)):
            key = (match.order_number, match.order_line_no)
            if key in self.left:
                self.left[key] -= match.pieces - match.cancelled_pieces
        self._by: dict[tuple[str, str, str], list[tuple[Order, OrderLine]]] = defaultdict(list)
        for line in found:
            order = orders[line.order_number]
            self._by[order.name.casefold(), order.country, line.part_number].append((order, line))
        for pairs in self._by.values():
            pairs.sort(key=lambda pair: (pair[0].received_at, pair[0].number, pair[1].line_no), reverse=True)

    def for_notice(self, notice: ReturnNotice) -> Iterable[tuple[Order, OrderLine]]:
        """The lines that may be meant, the latest order first."""
        pairs = self._by[notice.name.casefold(), notice.country, notice.part_number]
        return [pair for pair in pairs if pair[0].received_at <= notice.received_at]


def _cancel(books: Books, matches: Sequence[ReturnMatch], *, at: datetime, person: str) -> list[ReturnMatch]:
    """Cancels what lies in no bag yet; an order of which nothing is wanted any more is cancelled with it."""
    by_order: dict[str, list[ReturnMatch]] = defaultdict(list)
    for match in matches:
        by_order[match.order_number].append(match)
    numbers = sorted(by_order)
    orders = {order.number: order for order in books.find(Order, number=numbers)}
    lines: dict[str, list[OrderLine]] = defaultdict(list)
    for line in books.find(OrderLine, order_number=numbers):
        lines[line.order_number].append(line)
    forget_unreleased(books, numbers)
    wanted = wanted_pieces(books, [(orders[number], lines[number]) for number in numbers], kits_of(books))
    bagged = {bag.order_number for bag in books.find(Bag, order_number=numbers)}
    done: list[ReturnMatch] = []
    changed: list[OrderLine | Order] = []
    for number in numbers:
        taken: dict[int, int] = defaultdict(int)
        for match in by_order[number]:
            key = (number, match.order_line_no)
            pieces = min(match.pieces, wanted[key]) if orders[number].state is not OrderState.CANCELLED else 0
            wanted[key] -= pieces
            taken[match.order_line_no] += pieces
            done.append(match.model_copy(update={"cancelled_pieces": pieces}))
        for line in lines[number]:
            cancelled = line.cancelled_pieces + taken[line.line_no]
            short = min(line.short_pieces, wanted[number, line.line_no])
            changed.append(line.model_copy(update={"cancelled_pieces": cancelled, "short_pieces": short}))
        order = orders[number]
        if order.state is OrderState.ALLOCATED and number not in bagged:
            order = order.model_copy(update={"state": OrderState.RECEIVED})
        if number not in bagged and not any(wanted[number, line.line_no] for line in lines[number]):
            by = ", ".join(sorted({match.number for match in by_order[number]}))
            order = order.model_copy(update={"state": OrderState.CANCELLED, "held_reason": f"cancelled by {by}"[:200]})
        if order != orders[number]:
            changed.append(order)
        particulars = {"by": sorted({match.number for match in by_order[number]}), "pieces": sum(taken.values())}
        books.journal(at=at, person=person, event="return matched", subject=number, particulars=particulars)
    books.replace(changed)
    return done
