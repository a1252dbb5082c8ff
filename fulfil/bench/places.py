"""What a bench has in hand, kept with every step: an order is at one bench of a kind at a time.

The books' writer is alone while it writes, so of two benches that take the same order one comes first; the other is
told. The database holds the rule as well.
"""

from datetime import datetime

from fulfil.bench.checkers import note_within
from fulfil.checking.wants import LetGo, SignIn, TakeWalk
from fulfil.errors import StateRefused
from fulfil.records.bench import BenchKind, BenchPlace
from fulfil.records.happening import Happening
from fulfil.records.plan import WalkRecord
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def place_of(books: Books, bench: str, kind: BenchKind) -> BenchPlace:
    """What a bench has in hand; an empty place for a new bench.

    Raises:
        StateRefused: when a bench of the other kind has this name.
    """
    place = books.get(BenchPlace, bench) or BenchPlace(bench=bench, kind=kind)
    if place.kind is not kind:
        raise StateRefused(f"open the {kind} bench", bench, f"another name; this one is a {place.kind} bench")
    return place


def must_be_free(books: Books, place: BenchPlace, order_number: str) -> None:
    """Refuses an order that another bench of the kind has in hand."""
    for other in books.find(BenchPlace, kind=place.kind, order_number=order_number):
        if other.bench != place.bench:
            expected = f"a free order; bench {other.bench} has it in hand ({other.person or 'nobody signed in'})"
            raise StateRefused("take order", order_number, expected)


def free_order(shop: Shop, order_number: str, reason: str, *, at: datetime, person: str) -> tuple[str, ...]:
    """Takes an order out of the hands of benches that don't come back; gives their names.

    Raises:
        StateRefused: when no bench has it in hand, or the reason is empty.
    """
    with shop.writing() as books:
        places = books.find(BenchPlace, order_number=order_number) if order_number else []
        if not places:
            raise StateRefused("free order", order_number, "an order that a bench has in hand")
        if not reason.strip():
            raise StateRefused("free order", order_number, "a reason, for the one at that bench")
        empty = {"order_number": "", "bag_code": "", "package_number": "", "last_bag_code": ""}
        books.replace([revised(place, empty) for place in places])
        benches = tuple(place.bench for place in places)
        particulars = {"benches": list(benches), "reason": reason.strip()}
        books.journal(at=at, person=person, event=Happening.ORDER_FREED, subject=order_number, particulars=particulars)
    return benches


def note_picker(shop: Shop, walk_number: str, *, at: datetime, person: str) -> None:
    """Notes who picked a walk; noted again, the last note holds.

    Raises:
        UnknownRefused: when there is no such walk.
    """
    with shop.writing() as books:
        books.need(WalkRecord, walk_number)
        note_within(books, walk_number, at=at, person=person)


def small_event(want: LetGo | SignIn | TakeWalk, bench: str) -> tuple[Happening, str]:
    """What the journal says of a want that changes only what is in hand: event and subject."""
    if isinstance(want, LetGo):
        return Happening.ORDER_LET_GO, want.order_number
    return (Happening.SIGNED_IN, bench) if isinstance(want, SignIn) else (Happening.WALK_AT_BENCH, want.walk_number)
