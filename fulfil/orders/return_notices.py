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

from fulfil.orders.moving import cancel_pieces, end_with, take_back_plan
from fulfil.orders.places import places_of, whole
from fulfil.orders.replacing import open_claim_again
from fulfil.records.despatch.goods_back import ReturnKind, ReturnMatch, ReturnNotice
from fulfil.records.happening import Happening
from fulfil.records.order import ENDED, Order, OrderLine, OrderState
from fulfil.records.order_mapping import NOT_GIVEN
from fulfil.records.pieces import UNPLANNED
from fulfil.records.revised import revised
from fulfil.store.books import Books


@dataclass(frozen=True)
class Matched:
    """What was found for the notices: matches made now, and the pieces of each notice that still wait."""

    matches: tuple[ReturnMatch, ...]
    waiting: dict[tuple[str, int], int]


def match_returns(books: Books, *, at: datetime, person: str) -> Matched:
    """Matches every notice that waits, in the order in which they came."""
    waiting = books.open_notices()
    notices = [
        one
        for one in books.find(ReturnNotice, number=sorted({number for number, _ in waiting}))
        if (one.number, one.line_no) in waiting and one.kind is ReturnKind.RETURN and NOT_GIVEN not in one.name
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
    take_back_plan(books, numbers, at=at, person=person)
    done: list[ReturnMatch] = []
    for number in numbers:
        by = sorted({match.number for match in by_order[number]})
        taken = 0
        for match in by_order[number]:
            pieces = _cancel_of_line(books, match, at=at, person=person)
            taken += pieces
            done.append(revised(match, {"cancelled_pieces": pieces}))
        was = books.need(Order, number)
        if was.state in ENDED:
            reason = f"cancelled by {', '.join(by)}"
            open_claim_again(books, end_with(books, number, reason), reason, at=at, person=person)
        if was.state is OrderState.CANCELLED:
            cancelled = {"from": was.state, "to": was.state, "reason": reason}
            books.journal(at=at, person=person, event=Happening.ORDER_CANCELLED, subject=number, particulars=cancelled)
        particulars = {"by": by, "pieces": taken}
        books.journal(at=at, person=person, event=Happening.RETURN_MATCHED, subject=number, particulars=particulars)
    return done


def _cancel_of_line(books: Books, match: ReturnMatch, *, at: datetime, person: str) -> int:
    """Cancels what is on no paper of the line, up to the notice's pieces; of a kit, whole kits."""
    line = books.need(OrderLine, match.order_number, match.order_line_no)
    places = places_of(books, [line.order_number])[line.order_number, line.line_no]
    pieces = min(match.pieces, whole(line, places, *UNPLANNED))
    if pieces:
        for part in sorted({one.part_number for one in places.balances}):
            per = sum(one.pieces for one in places.balances if one.part_number == part) // line.pieces
            key = (line.order_number, line.line_no, part)
            cancel_pieces(books, key, pieces * per, f"cancelled by {match.number}", at=at, person=person)
    return pieces
