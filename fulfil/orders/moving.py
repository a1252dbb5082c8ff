"""Every move of an order's pieces: one verb for each thing that can happen to them, whoever asks.

Each verb writes the book of what is owed and the book of what is there together, in the caller's transaction. A bag's
pieces go their way under the bag's code, then under the package's number.
:mod:`fulfil.orders.move_building` builds the moves themselves.
"""

from collections import Counter
from collections.abc import Collection, Iterable, Mapping, Sequence
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_go_out
from fulfil.orders.move_building import (
    At,
    PartOfLine,
    all_owed,
    all_there,
    carried,
    changes_of,
    in_bin,
    line_of,
    line_of_bag,
    owed_move,
)
from fulfil.records.order import Order, OrderState
from fulfil.records.pieces import UNPLANNED, Owed, OwedBalance, OwedMove, StockBalance, There
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.text import cut
from fulfil.store.books import Books
from fulfil.store.moving import Worked

WAITS = "waits to be complete"
"""Why the plan holds an order that the customer wants complete."""
DONE = (BagState.PASSED, BagState.PACKED)


def take_back_plan(books: Books, numbers: Sequence[str] | None, *, at: datetime, person: str) -> None:
    """Takes back the plan of every walk that isn't on paper yet, or only what it holds of some orders.

    What was promised waits again.
    """
    forget_bags(books, numbers)
    only = {} if numbers is None else {"order_number": [*numbers]}
    promised = books.find(OwedBalance, place=Owed.PROMISED, **only)
    moves = [
        owed_move(line_of(one), one.pieces, (one.place, one.ref), (Owed.WAITING, ""), "to be planned again")
        for one in promised
    ]
    books.move(moves, at=at, person=person)


def moves_as_planned(
    decided: Mapping[PartOfLine, tuple[Mapping[At, int], Mapping[At, int]]],
    short_reasons: Mapping[tuple[str, int], str],
) -> tuple[OwedMove, ...]:
    """The moves by which pieces of planned lines go from where they are to where it was decided; nothing is written.

    ``decided`` has both for each part of a line: promised from a bin, short, held, waiting. A short piece carries its
    line's reason.
    """
    return tuple(
        move
        for key, (before, after) in sorted(decided.items())
        for move in changes_of(key, before, after, "planned", {(Owed.SHORT, ""): short_reasons.get(key[:2], "short")})
    )


def worked_as_planned(books: Books, moves: Iterable[OwedMove]) -> Worked:
    """All that the moves of :func:`moves_as_planned` come to in the shop as it is; nothing is written."""
    return books.worked_out(moves)


def place_as_planned(books: Books, worked: Worked, *, at: datetime, person: str) -> None:
    """Writes what :func:`worked_as_planned` found in the very state that the shop is in."""
    books.move_worked(worked, at=at, person=person)


def forget_bags(books: Books, numbers: Sequence[str] | None = None) -> None:
    """Removes the bags of walks that aren't on paper yet, and walks that have none left; no piece moves."""
    walks = [walk.number for walk in books.find(WalkRecord, released_at=None)]
    only = {} if numbers is None else {"order_number": [*numbers]}
    bags = books.find(Bag, walk_number=walks, **only)
    books.remove(Bag, code=[bag.code for bag in bags])
    left = {bag.walk_number for bag in books.find(Bag, walk_number=walks)}
    books.remove(WalkRecord, number=[number for number in walks if number not in left])


def release_bags(books: Books, bags: Iterable[Bag], *, at: datetime, person: str) -> None:
    """A walk goes on paper: what was promised to its bags is in them, or soon will be."""
    moves = [
        owed_move(line_of_bag(bag), bag.pieces, (Owed.PROMISED, bag.bin_code), (Owed.BAGGED, bag.code), "released")
        for bag in bags
    ]
    books.move(moves, at=at, person=person)


def withdraw_bags(books: Books, bags: Iterable[Bag], *, at: datetime, person: str) -> None:
    """A walk that has not left yet comes back from paper: its bags are promised again."""
    moves = [
        owed_move(
            line_of_bag(bag),
            bag.pieces,
            (Owed.BAGGED, bag.code),
            (Owed.PROMISED, bag.bin_code),
            "taken back from paper",
        )
        for bag in bags
    ]
    books.move(moves, at=at, person=person)


def pass_bag(books: Books, bag: Bag, *, at: datetime, person: str) -> int:
    """A bag has passed its check: its pieces have left their bin.

    What the books lacked in the bin is found there by this very count; returns how many pieces that were.
    """
    lacked = max(0, bag.pieces - books.need(Bin, bag.bin_code).pieces)
    stock = []
    if lacked:
        stock.append(in_bin(bag, lacked, "counted"))
    stock.append(in_bin(bag, -bag.pieces, "picked", There.BAG))
    owed = [owed_move(line_of_bag(bag), bag.pieces, (Owed.BAGGED, bag.code), (Owed.PASSED, bag.code), "passed")]
    books.move(owed, stock, at=at, person=person)
    return lacked


def unpass_bag(books: Books, bag: Bag, *, at: datetime, person: str) -> None:
    """A verdict was taken back: the pieces are in their bin again, and wait in their bag for a check."""
    owed = [owed_move(line_of_bag(bag), bag.pieces, (Owed.PASSED, bag.code), (Owed.BAGGED, bag.code), "check undone")]
    books.move(owed, [in_bin(bag, bag.pieces, "undone", There.BAG)], at=at, person=person)


def box_bags(books: Books, number: str, bags: Sequence[Bag], *, at: datetime, person: str) -> None:
    """Bags go into a package."""
    owed = [
        owed_move(line_of_bag(bag), bag.pieces, (Owed.PASSED, bag.code), (Owed.BOXED, number), "boxed") for bag in bags
    ]
    stock = [carried(bag, (There.BAG, bag.code), (There.PACKAGE, number), "boxed") for bag in bags]
    books.move(owed, stock, at=at, person=person)


def unbox_bags(books: Books, number: str, bags: Sequence[Bag], *, at: datetime, person: str) -> None:
    """Bags come out of a package that is not sealed."""
    owed = [
        owed_move(line_of_bag(bag), bag.pieces, (Owed.BOXED, number), (Owed.PASSED, bag.code), "boxes undone")
        for bag in bags
    ]
    stock = [carried(bag, (There.PACKAGE, number), (There.BAG, bag.code), "boxes undone") for bag in bags]
    books.move(owed, stock, at=at, person=person)


def seal(books: Books, number: str, bags: Sequence[Bag], *, at: datetime, person: str) -> None:
    """A package is sealed with the bags that lie in it.

    Raises:
        StateRefused: its bags don't hold what the book of what is owed says is in it.
    """
    moves = all_owed(books, Owed.BOXED, number, (Owed.SEALED, number), "sealed")
    boxed = Counter({(move.order_number, move.line_no, move.part_number): move.pieces for move in moves})
    held = Counter[PartOfLine]()
    for bag in bags:
        held[line_of_bag(bag)] += bag.pieces
    if boxed != held or not moves:
        off = next(iter(sorted((boxed - held) + (held - boxed))), ("", 0, ""))
        says = f"line {off[1]} of order {off[0]} has {boxed[off]} {off[2]} in it, its bags {held[off]}"
        raise StateRefused("seal package", number, f"books that add up: {says}; see fulfil shop verify")
    books.move(moves, at=at, person=person)


def unseal(books: Books, number: str, *, at: datetime, person: str) -> None:
    """A sealed package is opened again."""
    books.move(all_owed(books, Owed.SEALED, number, (Owed.BOXED, number), "reopened"), at=at, person=person)


def hand_over(books: Books, numbers: Sequence[str], *, at: datetime, person: str) -> None:
    """Sealed packages are on a closed manifest.

    Raises:
        StateRefused: one isn't sealed, or its order is held or cancelled.
    """
    must_go_out(books, "hand over package", numbers)
    owed = [move for one in numbers for move in all_owed(books, Owed.SEALED, one, (Owed.SHIPPED, one), "handed over")]
    stock = [
        move
        for one in numbers
        for move in all_there(books, There.PACKAGE, one, (There.HANDED_OVER, one), "handed over")
    ]
    books.move(owed, stock, at=at, person=person)


def bring_back(books: Books, number: str, replaced_by: str, reason: str, *, at: datetime, person: str) -> None:
    """A package that did not leave, or came back unopened, goes on under another number, to be weighed again.

    Raises:
        StateRefused: it was taken apart, or pieces of it came back already.
    """
    _must_be_whole(books, number)
    owed = all_owed(books, Owed.SHIPPED, number, (Owed.BOXED, replaced_by), reason)
    stock = all_there(books, There.HANDED_OVER, number, (There.PACKAGE, replaced_by), "brought back")
    books.move(owed, stock, at=at, person=person)


def _must_be_whole(books: Books, number: str) -> None:
    """Refuses a package that no longer holds all that it was handed over with."""
    sent = sum(one.pieces for one in books.find(OwedBalance, place=Owed.SHIPPED, ref=number))
    out = sum(one.pieces for one in books.find(StockBalance, place=There.HANDED_OVER, ref=number))
    if not sent:
        raise StateRefused("bring back package", number, "one that still holds something; it was taken apart")
    if out < sent:
        expected = (
            f"one that nobody opened; {sent - out} of its {sent} pieces came back already, "
            "take the others back by line: fulfil claims take-back"
        )
        raise StateRefused("bring back package", number, expected)


def pull_bag(books: Books, bag: Bag, reason: str, *, at: datetime, person: str) -> None:
    """A bag on paper is pulled: its pieces are owed anew; they lie in the bag until somebody puts them back.

    Of a bag that nobody checked the pieces leave their bin now, so that nobody is promised what may lie in the bag.
    """
    place = Owed.PASSED if bag.state in DONE else Owed.BAGGED
    owed = [owed_move(line_of_bag(bag), bag.pieces, (place, bag.code), (Owed.WAITING, ""), reason)]
    taken = 0 if bag.state in DONE else min(bag.pieces, books.need(Bin, bag.bin_code).pieces)
    stock = [in_bin(bag, -taken, "pulled", There.BAG)] if taken else []
    books.move(owed, stock, at=at, person=person)


def leave_empty(books: Books, bag: Bag, reason: str, *, at: datetime, person: str) -> None:
    """A bag on paper was never filled: its pieces are owed anew."""
    books.move(
        [owed_move(line_of_bag(bag), bag.pieces, (Owed.BAGGED, bag.code), (Owed.WAITING, ""), reason)],
        at=at,
        person=person,
    )


def cancel_returned(books: Books, number: str, bags: Sequence[Bag], reason: str, *, at: datetime, person: str) -> None:
    """A package that came back is taken apart: the customer gets its pieces no more, they lie in its bags.

    Raises:
        StateRefused: it was taken apart before, or pieces of it came back already.
    """
    _must_be_whole(books, number)
    owed = all_owed(books, Owed.SHIPPED, number, (Owed.CANCELLED, ""), reason)
    stock = [carried(bag, (There.HANDED_OVER, number), (There.BAG, bag.code), "came back") for bag in bags]
    books.move(owed, stock, at=at, person=person)


def cancel_pieces(books: Books, key: PartOfLine, pieces: int, reason: str, *, at: datetime, person: str) -> None:
    """Pieces on no paper are wanted no more: first those that are short, then held, promised, waiting.

    Raises:
        ValueError: fewer are on no paper.
    """
    order_number, line_no, part_number = key
    found = books.find(OwedBalance, order_number=order_number, line_no=line_no, part_number=part_number)
    rank = [Owed.SHORT, Owed.HELD, Owed.WAITING, Owed.PROMISED]
    moves = []
    for one in sorted(
        (one for one in found if one.place in UNPLANNED), key=lambda one: (rank.index(one.place), one.ref)
    ):
        n = min(pieces, one.pieces)
        if n:
            moves.append(owed_move(key, n, (one.place, one.ref), (Owed.CANCELLED, ""), reason))
        pieces -= n
    if pieces:
        raise ValueError(f"{key}: {pieces} pieces more than are on no paper")
    books.move(moves, at=at, person=person)


def cancel_open(books: Books, number: str, reason: str, *, at: datetime, person: str) -> int:
    """All of an order that is on no paper is wanted no more; how many pieces that were."""
    found = [one for one in books.find(OwedBalance, order_number=number) if one.place in UNPLANNED]
    moves = [owed_move(line_of(one), one.pieces, (one.place, one.ref), (Owed.CANCELLED, ""), reason) for one in found]
    books.move(moves, at=at, person=person)
    return sum(one.pieces for one in found)


def want_more(books: Books, more: Mapping[PartOfLine, int], reason: str, *, at: datetime, person: str) -> None:
    """More pieces of a line are ordered, of a kit those of all its parts together; they wait to be planned."""
    moves = [owed_move(key, n, (Owed.ORDERED, ""), (Owed.WAITING, ""), reason) for key, n in sorted(more.items())]
    books.move(moves, at=at, person=person)


def go_out(books: Books, number: str, into: str, *, at: datetime, person: str) -> list[OwedBalance]:
    """All pieces of an order leave it, since another order is to have them; where they were."""
    found = books.find(OwedBalance, order_number=number)
    moves = [
        owed_move(line_of(one), one.pieces, (one.place, one.ref), (Owed.ORDERED, ""), f"combined into {into}")
        for one in found
    ]
    books.move(moves, at=at, person=person)
    return found


def come_in(
    books: Books, into: str, line_of_was: Mapping[int, int], was: Iterable[OwedBalance], *, at: datetime, person: str
) -> None:
    """Another order's lines are new lines of this one: what was cancelled of them is cancelled here, the rest waits."""
    moves = [
        owed_move(
            (into, line_of_was[one.line_no], one.part_number),
            one.pieces,
            (Owed.WAITING, ""),
            (Owed.CANCELLED, ""),
            f"cancelled as line {one.line_no} of {one.order_number}",
        )
        for one in was
        if one.place is Owed.CANCELLED
    ]
    books.move(moves, at=at, person=person)


def hold(books: Books, order: Order, reason: str, *, at: datetime, person: str) -> Order:
    """Holds an order: what was promised of it is free again; what is on no paper and could be had is held.

    What is short stays short, what is in bags stays in them; nothing of it is checked, weighed or handed over.
    """
    take_back_plan(books, [order.number], at=at, person=person)
    _all_waiting(books, order.number, Owed.WAITING, Owed.HELD, reason, at, person)
    return _with_reason(books, order.number, reason)


def resume(books: Books, order: Order, *, at: datetime, person: str) -> Order:
    """Lets a held order go on from where its pieces are."""
    _all_waiting(books, order.number, Owed.HELD, Owed.WAITING, "resumed", at, person)
    return _with_reason(books, order.number, "")


def held_by_plan(orders: Iterable[Order], waiting: Collection[str]) -> list[Order]:
    """Those of the planned orders that the plan holds until they are complete, or holds no longer, as they are then."""
    wanted = [(one, WAITS if one.number in waiting else "") for one in orders]
    return [revised(one, {"held_reason": reason}) for one, reason in wanted if one.held_reason != reason]


def end_with(books: Books, number: str, reason: str) -> Order:
    """Takes an order's hold off, and keeps the reason with one that was cancelled whole."""
    order = books.need(Order, number)
    return _with_reason(books, number, reason if order.state is OrderState.CANCELLED else "")


def _with_reason(books: Books, number: str, reason: str) -> Order:
    order = books.need(Order, number)
    if order.held_reason != reason:
        books.replace([revised(order, {"held_reason": cut(reason)})])
    return books.need(Order, number)


def _all_waiting(books: Books, number: str, from_: Owed, to: Owed, reason: str, at: datetime, person: str) -> None:
    found = books.find(OwedBalance, order_number=number, place=from_)
    books.move(
        [owed_move(line_of(one), one.pieces, (from_, ""), (to, ""), reason) for one in found], at=at, person=person
    )
