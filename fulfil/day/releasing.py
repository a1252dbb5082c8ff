"""Release a walk: from now on it is on paper, and what was promised to its bags is in them."""

from datetime import datetime

from fulfil.orders.gates import must_add_up
from fulfil.orders.moving import release_bags
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.store.books import Books


def release_walk(books: Books, walk: WalkRecord, *, at: datetime, person: str) -> WalkRecord:
    """Releases one walk.

    Raises:
        StateRefused: a line of its orders does not add up.
    """
    bags = books.find(Bag, walk_number=walk.number)
    numbers = sorted({bag.order_number for bag in bags})
    must_add_up(books, f"release walk {walk.number} with order", numbers)
    release_bags(books, bags, at=at, person=person)
    released = revised(walk, {"released_at": at})
    books.replace([released])
    books.journal(at=at, person=person, event="walk released", subject=walk.number, particulars={"orders": numbers})
    return released
