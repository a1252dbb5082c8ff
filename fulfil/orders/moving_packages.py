"""Every move of a package's pieces: one verb for each thing that can happen to a package, whoever asks.

As :mod:`fulfil.orders.moving` for orders and bags: both books are written together, in the caller's transaction. A
package's pieces go their way under its number; what leaves passes :func:`fulfil.orders.gates.must_go_out` here.
"""

from collections import Counter
from collections.abc import Sequence
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_go_out
from fulfil.orders.single_moves import PartOfLine, all_of, carried, line_of_bag, owed_move, stock_of
from fulfil.records.pieces import Owed, OwedBalance, StockBalance, There
from fulfil.records.plan import Bag
from fulfil.store.books import Books


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
    moves = all_of(books, Owed.BOXED, number, (Owed.SEALED, number), "sealed")
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
    books.move(all_of(books, Owed.SEALED, number, (Owed.BOXED, number), "reopened"), at=at, person=person)


def hand_over(books: Books, numbers: Sequence[str], *, at: datetime, person: str) -> None:
    """Sealed packages are on a closed manifest.

    Raises:
        StateRefused: one isn't sealed, or its order is held or cancelled.
    """
    must_go_out(books, "hand over package", numbers)
    owed = [move for one in numbers for move in all_of(books, Owed.SEALED, one, (Owed.SHIPPED, one), "handed over")]
    stock = [
        move for one in numbers for move in stock_of(books, There.PACKAGE, one, (There.HANDED_OVER, one), "handed over")
    ]
    books.move(owed, stock, at=at, person=person)


def bring_back(books: Books, number: str, replaced_by: str, reason: str, *, at: datetime, person: str) -> None:
    """A package that did not leave, or came back unopened, goes on under another number, to be weighed again.

    Raises:
        StateRefused: it was taken apart, or pieces of it came back already.
    """
    _must_be_whole(books, number)
    owed = all_of(books, Owed.SHIPPED, number, (Owed.BOXED, replaced_by), reason)
    stock = stock_of(books, There.HANDED_OVER, number, (There.PACKAGE, replaced_by), "brought back")
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


def cancel_returned(books: Books, number: str, bags: Sequence[Bag], reason: str, *, at: datetime, person: str) -> None:
    """A package that came back is taken apart: the customer gets its pieces no more, they lie in its bags.

    Raises:
        StateRefused: it was taken apart before, or pieces of it came back already.
    """
    _must_be_whole(books, number)
    owed = all_of(books, Owed.SHIPPED, number, (Owed.CANCELLED, ""), reason)
    stock = [carried(bag, (There.HANDED_OVER, number), (There.BAG, bag.code), "came back") for bag in bags]
    books.move(owed, stock, at=at, person=person)
