"""How long walks take: the settings, and what the journal says.

A picker says when a walk begins and when it has ended; that is two events of the journal. From the walks of which both
are known, speed, time a line and set-up are learned by least squares (:func:`fulfil.room.time_model.learn_times`).
Simulated events are not learned from. A walk that was begun or ended twice counts with its last beginning and its
first end after that.

>>> time_model_of(Settings()).reach_s
(2.0, 1.0, 2.0, 4.0)
"""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from fulfil.errors import StateRefused
from fulfil.planning.paces import Pace, learn_pace
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.room.time_model import LearnedTimes, TimeModel, learn_times
from fulfil.shop.clock import day_span, local_hour
from fulfil.store.books import Books
from fulfil.store.shop import Shop

BEGUN, HANDED_OVER, ENDED = Happening.WALK_BEGUN, Happening.WALK_HANDED_OVER, Happening.WALK_ENDED
FEWEST_WALKS = 4
MOST_OFF = 3.0
"""A walk that took so many times what was expected, or less than that part of it, was said wrongly (own choice)."""
WEEKS = 13
"""Walks of how many weeks are learned from."""


@dataclass(frozen=True)
class WalkTime:
    """A walk that was timed, and how long the settings say it takes."""

    walk: WalkRecord
    lines: int
    seconds: float
    expected_s: float


@dataclass(frozen=True)
class WalkTimes:
    """What walks took, and what was learned; ``learned`` is None with too few walks to learn from."""

    walks: tuple[WalkTime, ...]
    learned: LearnedTimes | None


def time_model_of(settings: Settings) -> TimeModel:
    """The times that the settings name."""
    return TimeModel(
        speed_mm_s=1000 * settings.walk_m_per_s,
        reach_s=tuple(float(seconds) for seconds in settings.reach_seconds_by_level.split()),
        search_s=settings.search_seconds_per_line,
        count_s=settings.pick_seconds_per_line,
        set_up_s=settings.setup_seconds_per_walk,
    )


def say_walk(shop: Shop, number: str, event: Happening, *, at: datetime, person: str) -> WalkRecord:
    """Writes into the journal that a walk has begun or ended.

    Raises:
        UnknownRefused: there is no such walk.
        StateRefused: the walk isn't released, or ends without having begun.
    """
    with shop.writing() as books:
        walk = books.need(WalkRecord, number)
        if walk.released_at is None:
            raise StateRefused("begin walk", number, "a released walk: fulfil walks release")
        hands = whose_hands(books, number)
        if event == ENDED and hands is None and not books.find(JournalEntry, event=BEGUN, subject=number):
            raise StateRefused("end walk", number, "a walk that has begun: fulfil walks begin")
        if event == BEGUN and hands is not None and hands.person != person:
            since = local_hour(hands.at, books.settings())
            expected = f"a walk that nobody is on; {hands.person} has been on it since {since}"
            raise StateRefused("begin walk", number, f"{expected}: fulfil walks hand-over {number}")
        books.journal(at=at, person=person, event=event, subject=number)
    return walk


def whose_hands(books: Books, number: str) -> JournalEntry | None:
    """Who is on a walk now: the event with which it came into their hands; None before it began and after it ended."""
    said = books.find(JournalEntry, subject=number, event=[BEGUN, HANDED_OVER, ENDED])
    # Of events of one moment the one that was written last holds.
    last = max(reversed(said), key=lambda entry: entry.at, default=None)
    return None if last is None or last.event == ENDED else last


def walk_times(books: Books) -> WalkTimes:
    """The timed walks of the last weeks by number, and what they say."""
    last_day = books.greatest(WalkRecord, "day")
    if last_day is None:
        return WalkTimes((), None)
    since = day_span(last_day - timedelta(weeks=WEEKS), books.settings())[0]
    begun = _moments(books, BEGUN, since)
    ended = _moments(books, ENDED, since)
    model = time_model_of(books.settings())
    level_of = _levels(books, sorted(set(begun) & set(ended)))
    timed = []
    for walk in books.find(WalkRecord, number=sorted(level_of)):
        ends = [at for at in ended[walk.number] if at > min(begun[walk.number])]
        if not ends:
            continue
        begins = max(at for at in begun[walk.number] if at < ends[0])
        levels = level_of[walk.number]
        expected_s = model.times(walk.length_mm, levels).total_s
        timed.append(WalkTime(walk, len(levels), (ends[0] - begins).total_seconds(), expected_s))
    learned = None
    if len(timed) >= FEWEST_WALKS:
        learned = learn_times([(one.walk.length_mm, one.lines, one.seconds) for one in timed])
    return WalkTimes(tuple(timed), learned)


def pace_of(books: Books, done: WalkTimes) -> Pace:
    """How far walks of the last weeks were from what the settings say, by the person who ended them."""
    ratios: dict[str, list[float]] = {}
    timed = [one for one in done.walks if 1 / MOST_OFF < one.seconds / one.expected_s < MOST_OFF]
    ended = books.find(JournalEntry, event=ENDED, subject=[one.walk.number for one in timed], is_simulated=False)
    person_of = {entry.subject: entry.person for entry in reversed(ended)}
    for one in timed:
        ratios.setdefault(person_of[one.walk.number], []).append(one.seconds / one.expected_s)
    return learn_pace(ratios)


def rush_share(books: Books, done: WalkTimes) -> float:
    """Seconds that walks made for one rush order took, for each second of all other walks of the last weeks."""
    rushed: set[str] = set()
    for entry in books.find(JournalEntry, event=Happening.ORDER_RUSHED, is_simulated=False):
        said = json.loads(entry.particulars)
        rushed |= set(said["walks"]) if not said["onto"] else set()
    took = {True: 0.0, False: 0.0}
    for one in done.walks:
        took[one.walk.number in rushed] += one.seconds
    return took[True] / took[False] if took[False] else 0.0


def expected_seconds(books: Books, walks: list[WalkRecord]) -> dict[str, int]:
    """Whole seconds that each walk takes by the settings, rounded up."""
    model = time_model_of(books.settings())
    levels = _levels(books, [walk.number for walk in walks])
    return {walk.number: -int(-model.times(walk.length_mm, levels.get(walk.number, ())).total_s // 1) for walk in walks}


def _levels(books: Books, numbers: list[str]) -> dict[str, list[int]]:
    """For each walk the levels of its bags' bins: a bag is a line to search, reach and count."""
    bags = books.find(Bag, walk_number=numbers)
    bins = {place.code: place.level for place in books.find(Bin, code=sorted({bag.bin_code for bag in bags}))}
    levels: dict[str, list[int]] = {}
    for bag in bags:
        # Signs count levels from 1 at the bottom, the model from 0.
        levels.setdefault(bag.walk_number, []).append(max(0, bins.get(bag.bin_code, 1) - 1))
    return levels


def _moments(books: Books, event: Happening, since: datetime) -> dict[str, list[datetime]]:
    moments: dict[str, list[datetime]] = {}
    for entry in books.between(JournalEntry, "at", since, event=event, is_simulated=False):
        moments.setdefault(entry.subject, []).append(entry.at)
    return {subject: sorted(ats) for subject, ats in moments.items()}
