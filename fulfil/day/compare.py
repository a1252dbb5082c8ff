"""Our walks beside the rules of thumb that pickers and papers know: per walk and in sum.

Limits: the rules (:mod:`fulfil.room.policies`) are defined for one block with the bench in front.
"""

from dataclasses import dataclass
from datetime import date

from fulfil.day.drawings import walk_bins
from fulfil.day.floor import floor_of
from fulfil.errors import RoomRefused, StateRefused
from fulfil.records.place import RoomElement
from fulfil.records.plan import PlanRecord, WalkRecord
from fulfil.room.block import Block
from fulfil.room.policies import POLICIES, policy_length_mm
from fulfil.store.books import Books


@dataclass(frozen=True)
class WalkComparison:
    """One walk's length beside what each rule would walk for the same stops, by the rule's name."""

    walk: WalkRecord
    by_policy_mm: dict[str, int]


@dataclass(frozen=True)
class DayComparison:
    """All walks of a day, their sums, and what one walk per order would be (None without a plan)."""

    walks: tuple[WalkComparison, ...]
    length_mm: int
    by_policy_mm: dict[str, int]
    one_by_one_mm: int | None


def compare_walks(books: Books, *, day: date) -> DayComparison:
    """Compares every walk of a day.

    Raises:
        StateRefused: the day has no walk.
        RoomRefused: the room is not one block.
    """
    floor = floor_of(books.find(RoomElement))
    if not isinstance(floor.room, Block):
        expected = "one block with the bench on its front cross aisle: the rules are defined there"
        raise RoomRefused("compare with S-shape and the others a room of", type(floor.room).__name__, expected)
    walks = books.find(WalkRecord, day=day)
    if not walks:
        raise StateRefused("compare the walks of", day, "a planned day; plan first")
    compared = []
    for walk in walks:
        stops = [floor.stop_of(place) for place in walk_bins(books, walk)]
        compared.append(
            WalkComparison(walk, {policy: policy_length_mm(policy, floor.room, stops) for policy in POLICIES})
        )
    plans = books.find(PlanRecord, day=day)
    return DayComparison(
        walks=tuple(compared),
        length_mm=sum(walk.length_mm for walk in walks),
        by_policy_mm={policy: sum(one.by_policy_mm[policy] for one in compared) for policy in POLICIES},
        one_by_one_mm=plans[-1].one_by_one_mm if plans else None,
    )
