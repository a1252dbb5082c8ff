"""Our walks beside the rules of thumb that pickers and papers know: per walk and in sum.

The rules of :mod:`fulfil.room.policies` are defined for one block with the bench in front, and are left out in other
rooms; those of :mod:`fulfil.room.rules_of_thumb` fit any room.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fulfil.errors import StateRefused
from fulfil.records.place import RoomElement
from fulfil.records.plan import Bag, WalkRecord
from fulfil.room.block import Block
from fulfil.room.policies import POLICIES, policy_length_mm
from fulfil.room.rules_of_thumb import ANYWHERE
from fulfil.store.books import Books
from fulfil.walks.bin_places import need_bins
from fulfil.walks.drawings import walk_bins
from fulfil.walks.floor import floor_of


@dataclass(frozen=True)
class WalkComparison:
    """One walk's length beside what each rule would walk for the same stops, by the rule's name."""

    walk: WalkRecord
    by_policy_mm: dict[str, int]


@dataclass(frozen=True)
class DayComparison:
    """All walks of a day, their sums, and what one walk per order would be."""

    walks: tuple[WalkComparison, ...]
    length_mm: int
    by_policy_mm: dict[str, int]
    one_by_one_mm: int


def compare_walks(books: Books, *, day: date) -> DayComparison:
    """Compares every walk of a day.

    Raises:
        StateRefused: the day has no walk.
    """
    floor = floor_of(books.find(RoomElement))
    room = floor.room
    walks = books.find(WalkRecord, day=day)
    if not walks:
        raise StateRefused("compare the walks of", day, "a planned day; plan first")
    compared = []
    for walk in walks:
        bins = sorted(walk_bins(books, walk), key=lambda place: place.code)
        stops = [floor.stop_of(place) for place in bins]
        lengths_mm = {rule: length_mm(room, stops) for rule, length_mm in ANYWHERE.items()}
        if isinstance(room, Block):
            lengths_mm |= {policy: policy_length_mm(policy, room, stops) for policy in POLICIES}
        compared.append(WalkComparison(walk, lengths_mm))
    return DayComparison(
        walks=tuple(compared),
        length_mm=sum(walk.length_mm for walk in walks),
        by_policy_mm={rule: sum(one.by_policy_mm[rule] for one in compared) for rule in compared[0].by_policy_mm},
        one_by_one_mm=one_by_one_mm(books, walks),
    )


def one_by_one_mm(books: Books, walks: Sequence[WalkRecord]) -> int:
    """What the bags of these walks would cost with one walk for each order."""
    floor = floor_of(books.find(RoomElement))
    bins_of: dict[str, set[str]] = defaultdict(set)
    for bag in books.find(Bag, walk_number=[walk.number for walk in walks]):
        bins_of[bag.order_number].add(bag.bin_code)
    walked = ", ".join(walk.number for walk in walks)
    bins = need_bins(books, (code for codes in bins_of.values() for code in codes), "measure the walks", walked)
    stop_of = {code: floor.stop_of(place) for code, place in bins.items()}
    return sum(floor.room.walk_length_mm([stop_of[code] for code in sorted(codes)]) for codes in bins_of.values())
