"""Which orders go now: said by a person, kept in the journal, read by planning and by the schedule.

An order that was sent by a walk of its own (:func:`fulfil.walks.rush.rush_order`) shares no cart when the day is
planned again before it is on paper, and whatever walk a rush order is on is gone before all others that wait. What was
said last of an order holds. Since only planning and waiting walks ask, an order that has left is rushed no longer.

>>> last_said([("A", ""), ("B", "W2"), ("A", "W1")])
{'A': False, 'B': False}
"""

import json
from collections.abc import Iterable

from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.store.books import Books


def rushed_orders(books: Books, numbers: Iterable[str]) -> dict[str, bool]:
    """Of these orders those that must go now, by number, and whether each goes alone."""
    said = books.find(JournalEntry, event=Happening.ORDER_RUSHED, subject=sorted(set(numbers)))
    # Of one moment the one that was written last holds.
    return last_said((one.subject, json.loads(one.particulars)["onto"]) for one in sorted(said, key=lambda one: one.at))


def last_said(rushes: Iterable[tuple[str, str]]) -> dict[str, bool]:
    """Orders with the walk that was named for each, oldest first, as orders that go alone or not."""
    return {number: not onto for number, onto in sorted(dict(rushes).items())}
