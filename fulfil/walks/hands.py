"""A walk changes hands, or is split: its picker falls ill, or it is too long for one.

Split after a stop, the bags of later stops that nobody checked go onto a walk of their own, with its own number and
pick list; each part is walked the shortest way. Bags keep their codes and labels.
"""

from collections.abc import Sequence
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.orders.moving import DONE
from fulfil.records.happening import Happening
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.room.walk import shortest_walk
from fulfil.shop.numbers import next_code_at
from fulfil.shop.told import Told
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.floor import floor_of, in_walking_order
from fulfil.walks.times import HANDED_OVER, whose_hands


def hand_over_walk(shop: Shop, number: str, to: str, *, at: datetime, person: str, is_preview: bool = False) -> Told:
    """Puts a walk into other hands; the journal says from whom to whom.

    Raises:
        UnknownRefused: no such walk.
        StateRefused: nobody is on it, or the other one is already.
    """
    with shop.writing(is_preview=is_preview) as books:
        books.need(WalkRecord, number)
        hands = whose_hands(books, number)
        if hands is None or not to.strip() or hands.person == to.strip():
            is_with = "nobody has begun it" if hands is None else f"it is with {hands.person}"
            raise StateRefused(f"hand walk {number} over to", to, f"someone else than the one on it; {is_with}")
        particulars = {"from": hands.person, "by": person}
        books.journal(at=at, person=to.strip(), event=HANDED_OVER, subject=number, particulars=particulars)
    return Told(
        (f"Walk {number} was with {hands.person}; {to.strip()} goes on with the same cart and papers.",), (number,)
    )


def split_walk(
    shop: Shop, number: str, after_stop: int, *, at: datetime, person: str, is_preview: bool = False
) -> Told:
    """Puts the bags of all stops after one onto a walk of their own, on paper at once.

    Raises:
        UnknownRefused: no such walk.
        StateRefused: it isn't released, or no bag would stay or go.
    """
    with shop.writing(is_preview=is_preview) as books:
        walk = books.need(WalkRecord, number)
        if walk.released_at is None:
            raise StateRefused("split walk", number, "a walk on paper; one that isn't can be planned again")
        bags = books.find(Bag, walk_number=number)
        later = [bag for bag in bags if bag.stop_no > after_stop and bag.state not in DONE]
        stay = [bag for bag in bags if bag not in later]
        if not later or not stay:
            expected = "a walk with bags that nobody checked after its first stop"
            if after := [bag.stop_no for bag in bags if bag.state not in DONE and bag.stop_no > 1]:
                expected = f"a stop from 1 to {max(after) - 1}, the last before a bag that nobody checked"
            raise StateRefused(f"split walk {number} after stop", after_stop, expected)
        new = next_code_at(books, "W", at)
        made, moved = _walk(books, new, walk, later, at)
        kept, left = _walk(books, number, walk, stay, walk.released_at)
        books.add([made])
        books.replace([kept])
        books.replace([*moved, *left])
        particulars = {"from": number, "after_stop": after_stop, "bags": sorted(bag.code for bag in later)}
        books.journal(at=at, person=person, event=Happening.WALK_SPLIT, subject=new, particulars=particulars)
        orders = ", ".join(sorted({bag.order_number for bag in later}))
    return Told(
        (
            f"Walk {number} ends after stop {after_stop}; {len(later)} bags of orders {orders} are on walk {new}.",
            f"Print both again: fulfil walks release {number} {new}. Give {new} a cart of its own.",
        ),
        (number, new),
    )


def _walk(
    books: Books, number: str, walk: WalkRecord, bags: Sequence[Bag], released_at: datetime
) -> tuple[WalkRecord, list[Bag]]:
    """A part of a walk as a walk, its stops in walking order."""
    floor = floor_of(books.find(RoomElement))
    places = books.find(Bin, code=sorted({bag.bin_code for bag in bags}))
    tour = shortest_walk(floor.room, [floor.stop_of(place) for place in places])
    stop_no = {place.code: no for no, place in enumerate(in_walking_order(floor, places, tour), start=1)}
    record = WalkRecord(
        number=number,
        day=walk.day,
        length_mm=tour.length_mm,
        orders=len({bag.order_number for bag in bags}),
        stops=len(stop_no),
        released_at=released_at,
        wave=walk.wave,
    )
    again = [revised(bag, {"walk_number": number, "stop_no": stop_no[bag.bin_code]}) for bag in bags]
    return record, again
