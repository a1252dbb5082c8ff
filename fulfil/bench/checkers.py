"""Who may check: never the one who picked. A second person's eyes are the point of a check.

Who picked a walk is who it was noted for, or who begun it, or into whose hands it came, whichever was last.
"""

from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.store.books import Books
from fulfil.walks.times import BEGUN, HANDED_OVER

NOTED = Happening.WALK_PICKED


def picker_of(books: Books, walk_number: str) -> str:
    """Who picked a walk; empty where nobody said."""
    said = books.find(JournalEntry, subject=walk_number, event=[NOTED, BEGUN, HANDED_OVER])
    return max(said, key=lambda entry: (entry.at, entry.event == NOTED)).person if said else ""


def walks_before(books: Books, person: str, walk_number: str, *, most: int) -> int:
    """How many other walks are known to be this person's, noted or begun; counted up to ``most``."""
    return max(
        books.count(JournalEntry, most=most, event=event, person=person)
        - books.count(JournalEntry, most=1, event=event, person=person, subject=walk_number)
        for event in (NOTED, BEGUN)
    )


def note_within(books: Books, walk_number: str, *, at: datetime, person: str) -> None:
    """Notes who picked a walk; noted again, the last note holds."""
    books.journal(at=at, person=person, event=NOTED, subject=walk_number)


def must_not_be_picker(books: Books, walk_number: str, person: str) -> None:
    """Refuses that a picker checks their own walk.

    Raises:
        StateRefused: the walk's picker is the one who checks.
    """
    if person and picker_of(books, walk_number) == person:
        expected = f"a checker who isn't its picker; {person} picked it: sign in another"
        raise StateRefused("check the walk", walk_number, expected)
