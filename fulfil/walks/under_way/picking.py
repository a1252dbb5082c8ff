"""What the picker says on the way: this bag is filled, or it isn't after all.

A mark moves no piece: pieces are in the bag once the second person has passed it. The marks say where the cart has
been, so that a bin found empty takes nothing back from bags that were filled before, and the picker may go on from
where the tablet was dropped. Said twice, it is said once.
"""

from collections.abc import Collection
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import DONE
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.times import whose_hands

FILLED, NOT_FILLED = Happening.BAG_FILLED, Happening.BAG_NOT_FILLED


def mark_filled(shop: Shop, code: str, *, is_filled: bool = True, at: datetime, person: str) -> Bag:
    """Writes into the journal that a bag is filled, or not after all; the bag.

    Raises:
        UnknownRefused: there is no such bag.
        StateRefused: its walk isn't in this person's hands, or it was checked already.
    """
    with shop.writing() as books:
        bag = books.need(Bag, code)
        must_be_in_hands(books, bag.walk_number, person, f"say of bag {code}")
        if bag.state in DONE:
            expected = f"a bag that waits for its check; this one is {bag.state}"
            raise StateRefused("say that it is filled of bag" if is_filled else "take back bag", code, expected)
        if (code in filled_bags(books, [code])) is not is_filled:
            event = FILLED if is_filled else NOT_FILLED
            particulars = {"walk": bag.walk_number, "bin": bag.bin_code}
            books.journal(at=at, person=person, event=event, subject=code, particulars=particulars)
    return bag


def filled_bags(books: Books, codes: Collection[str]) -> frozenset[str]:
    """Those of the bags that a picker said are filled; of two marks the one that was written last holds."""
    if not codes:
        return frozenset()
    said = books.find(JournalEntry, subject=sorted(codes), event=[FILLED, NOT_FILLED])
    last = {entry.subject: entry.event for entry in said}
    return frozenset(code for code, event in last.items() if event == FILLED)


def walk_in_hands(books: Books, person: str, *, released: Collection[WalkRecord]) -> WalkRecord | None:
    """The walk that somebody is on; of several the one that came into their hands first."""
    held = []
    for walk in released:
        hands = whose_hands(books, walk.number)
        if hands is not None and hands.person == person:
            held.append((hands.at, walk.number, walk))
    return min(held, key=lambda one: one[:2])[2] if held else None


def must_be_in_hands(books: Books, walk_number: str, person: str, tried: str) -> None:
    """Refuses what a picker says of another picker's walk.

    Raises:
        StateRefused: nobody, or somebody else, is on the walk.
    """
    hands = whose_hands(books, walk_number)
    if hands is None or hands.person != person:
        now = "nobody is on it" if hands is None else f"{hands.person} is on it"
        raise StateRefused(tried, f"on walk {walk_number}", f"a walk that {person} has begun; {now}")
