"""How long counts take at this shop: learned from the checks of the last days, else as the settings say.

A check takes from the moment of the same person's check before to its own. Simulated ones teach nothing. Only whole
days that are over are learned from, so that all plans of a day rest on the same times.
"""

from datetime import date, timedelta

from fulfil.counting.count_lines import times_set
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, BagState, CountMethod
from fulfil.shop.clock import day_span
from fulfil.store.books import Books
from fulfil.weighing.count_times import CountTimes, Timed, learned_times

DAYS = 7
"""Checks of how many days are learned from."""


def count_times(books: Books, day: date) -> CountTimes:
    """The times by which a day's bags are planned."""
    return learned_times(timed_checks(books, day)) or times_set(books.settings())


def timed_checks(books: Books, day: date) -> list[Timed]:
    """The timed checks of the days before a day, in the order of the journal."""
    settings = books.settings()
    since, until = day_span(day - timedelta(days=DAYS), settings)[0], day_span(day, settings)[0]
    said = books.between(JournalEntry, "at", since, until, event=Happening.BAG_CHECKED, is_simulated=False)
    bags = {bag.code: bag for bag in books.find(Bag, code=sorted({one.subject for one in said}))}
    timed = []
    last: dict[str, JournalEntry] = {}
    for entry in sorted(said, key=lambda one: (one.at, one.subject)):
        before, last[entry.person] = last.get(entry.person), entry
        bag = bags.get(entry.subject)
        if before is None or bag is None or bag.checks != 1 or bag.state not in (BagState.PASSED, BagState.PACKED):
            continue
        by_hand = 0 if bag.method.is_weighed else bag.pieces
        weighings = {CountMethod.WEIGH: 1, CountMethod.TARE: 2, CountMethod.POUR: bag.pours + 1}.get(bag.method, 0)
        timed.append(Timed((entry.at - before.at).total_seconds(), by_hand, weighings))
    return timed
