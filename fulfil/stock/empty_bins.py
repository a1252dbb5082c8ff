"""A bin is empty, or holds fewer than its bags need: found by the picker in front of it.

The picker says how many pieces are left for bags that aren't filled yet. The bin's level becomes that and what lies in
bags that were filled from it. Bags that can still be filled stay on their walk, those of walks that leave first; the
others are left empty, and their pieces are promised anew: from another bin, from what is left here, or they are short.

A bag counts as filled when its walk has ended, when its picker said so, or when it is named.
"""

from collections.abc import Collection
from datetime import date, datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import DONE, leave_empty, take_back_plan
from fulfil.orders.places import promised_to
from fulfil.orders.recounts import close_recounts
from fulfil.records.bench import RecountState
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.pieces import Owed, OwedBalance, bin_move
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.plan import plan_within
from fulfil.walks.times import ENDED
from fulfil.walks.under_way.picking import filled_bags


def bin_lacks(
    shop: Shop,
    bin_code: str,
    holds: int,
    *,
    day: date,
    at: datetime,
    person: str,
    filled: Collection[str] = (),
    is_preview: bool = False,
) -> Told:
    """Books what is left in a bin, and decides anew for every bag that it can't fill.

    ``holds`` are the pieces left in it for bags that aren't filled yet; ``filled`` are bags that were filled from it
    before, on walks that haven't ended. A preview only says what would be done.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: ``holds`` is below zero, or a filled bag isn't one that waits for its check with pieces of it.
    """
    if holds < 0:
        raise StateRefused(f"say that bin {bin_code} holds", holds, "0 pieces or more")
    with shop.writing(is_preview=is_preview) as books:
        return _lacks_within(books, bin_code, holds, day=day, at=at, person=person, filled=filled)


def _lacks_within(
    books: Books, bin_code: str, holds: int, *, day: date, at: datetime, person: str, filled: Collection[str]
) -> Told:
    place = books.need(Bin, bin_code)
    waiting = _waiting_bags(books, bin_code)
    done = _filled(books, waiting, filled, bin_code)
    level = holds + sum(bag.pieces for bag in waiting if bag.code in done)
    tells = [f"Bin {bin_code} holds {level} by count; the books said {place.pieces}."]
    if level != place.pieces:
        move = bin_move(
            part_number=place.part_number,
            bin_code=bin_code,
            pieces=level - place.pieces,
            reason="counted",
            source="bin lacks pieces",
        )
        books.move(stock=[move], at=at, person=person)
    empty = _not_filled([bag for bag in waiting if bag.code not in done], holds)
    for bag in empty:
        close_recounts(books, bag.code, RecountState.UNDONE)
        leave_empty(books, bag, f"bin {bin_code} lacks pieces", at=at, person=person)
        books.remove(Bag, code=bag.code)
        left = {"order": bag.order_number, "bin": bin_code, "pieces": bag.pieces, "walk": bag.walk_number}
        books.journal(at=at, person=person, event=Happening.BAG_LEFT_EMPTY, subject=bag.code, particulars=left)
        tells.append(
            f"Walk {bag.walk_number}, position {bag.cart_position}: leave bag {bag.code} of {bag.pieces} pieces "
            f"empty (order {bag.order_number}); strike it out on pick list and checklist."
        )
    orders = sorted({bag.order_number for bag in empty} | _promised_orders(books, bin_code))
    take_back_plan(books, orders, at=at, person=person)
    particulars = {"holds": holds, "level": level, "was": place.pieces, "empty": [bag.code for bag in empty]}
    books.journal(at=at, person=person, event=Happening.BIN_LACKS_PIECES, subject=bin_code, particulars=particulars)
    if not orders:
        return Told((*tells, "No bag needs more than that."))
    planned, _ = plan_within(books, day=day, at=at, person=person, only=orders)
    tells += planned.went()
    walks = tuple(walk.number for walk in planned.walks)
    tells += [f"Walk {number} is new: fulfil walks release {number}." for number in walks]
    return Told(tuple(tells), walks)


def found_elsewhere(
    shop: Shop, bin_code: str, holds: int, *, instead_of: str, day: date, at: datetime, person: str
) -> Told:
    """Pieces of a part turned up in another of its bins: books them there, and plans the orders that wait for it.

    ``holds`` are the pieces there for bags that aren't filled yet; ``instead_of`` is the bin in front of the picker.

    Raises:
        UnknownRefused: no such bin.
        StateRefused: the bin is of another part, or nothing is in it.
    """
    with shop.writing() as books:
        part_number = books.need(Bin, instead_of).part_number
        other = books.need(Bin, bin_code)
        if other.part_number != part_number or other.code == instead_of or holds < 1:
            expected = f"another bin of {part_number} with 1 piece or more in it; this one is of {other.part_number}"
            raise StateRefused("book what was found in bin", f"{bin_code}: {holds}", expected)
        told = _lacks_within(books, bin_code, holds, day=day, at=at, person=person, filled=())
        short = books.find(OwedBalance, part_number=part_number, place=Owed.SHORT)
        waiting = sorted({one.order_number for one in short})
        if not waiting:
            return told
        planned, _ = plan_within(books, day=day, at=at, person=person, only=waiting)
        walks = tuple(walk.number for walk in planned.walks)
    new = tuple(f"Walk {number} is new: fulfil walks release {number}." for number in walks)
    return Told((*told.tells, *planned.went(), *new), (*told.walks, *walks))


def _waiting_bags(books: Books, bin_code: str) -> list[Bag]:
    """Bags on paper from a bin that have not passed, in the order of their walks' release, then by code."""
    bags = [bag for bag in books.find(Bag, bin_code=bin_code) if bag.state not in DONE]
    walks = {walk.number: walk for walk in books.find(WalkRecord, number=sorted({bag.walk_number for bag in bags}))}
    on_paper = [bag for bag in bags if walks[bag.walk_number].released_at is not None]
    return sorted(on_paper, key=lambda bag: (str(walks[bag.walk_number].released_at), bag.walk_number, bag.code))


def _filled(books: Books, waiting: list[Bag], named: Collection[str], bin_code: str) -> set[str]:
    for code in named:
        if code not in {bag.code for bag in waiting}:
            raise StateRefused("take as filled the bag", code, f"one from bin {bin_code} that waits for its check")
    walks = sorted({bag.walk_number for bag in waiting})
    ended = {entry.subject for entry in books.find(JournalEntry, subject=walks, event=ENDED)}
    marked = filled_bags(books, [bag.code for bag in waiting])
    return {bag.code for bag in waiting if bag.walk_number in ended} | marked | {*named}


def _not_filled(bags: list[Bag], holds: int) -> list[Bag]:
    """Bags that what is left can't fill, served in turn; one that is too large leaves it to the next."""
    empty = []
    for bag in bags:
        if bag.pieces <= holds:
            holds -= bag.pieces
        else:
            empty.append(bag)
    return empty


def _promised_orders(books: Books, bin_code: str) -> set[str]:
    """Orders whose plan, not on paper yet, takes from the bin more than it has."""
    promised = promised_to(books, bin_code)
    level = books.need(Bin, bin_code).pieces
    if sum(one.pieces for one in promised) <= level:
        return set()
    return {one.order_number for one in promised if one.place is Owed.PROMISED}
