"""Release a walk: from now on it is on paper, and what was promised to its bags is in them."""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_add_up
from fulfil.orders.moving import release_bags
from fulfil.papers.walk.layouts import BY_WALK, layout_named
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.shop.printing import print_sheets
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import walk_sheets
from fulfil.weighing.lookalike import LookAlikeIndex


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
    books.journal(
        at=at, person=person, event=Happening.WALK_RELEASED, subject=walk.number, particulars={"orders": numbers}
    )
    return released


def release_walks(
    shop: Shop,
    numbers: Sequence[str],
    out: Path,
    *,
    at: datetime,
    person: str,
    layout: str = BY_WALK,
    index: Callable[[Books], LookAlikeIndex] = look_alike_index,
) -> list[Path]:
    """Prints pick list, bag labels, checklist and cart card of walks, then releases those that weren't yet.

    No numbers mean all walks that aren't released. A released walk is printed again, the same byte for byte.
    ``layout`` is the pick list's (:mod:`fulfil.papers.walk.layouts`).

    Raises:
        PaperRefused: when there is no such layout.
        UnknownRefused: when there is no such walk.
        StateRefused: when there is nothing to release.
        FileRefused: when a paper can't be written; the walks stay unreleased.
    """
    written: list[Path] = []
    pick_lists = layout_named(layout)
    with shop.writing() as books:
        walks = [books.need(WalkRecord, number) for number in numbers]
        walks = walks or books.find(WalkRecord, released_at=None)
        if not walks:
            raise StateRefused("release walks of", "the plan", "a planned walk; plan first")
        found = index(books)
        for walk in walks:
            made = walk_sheets(books, walk, index=lambda _: found)
            papers = [*pick_lists(made.pick_list), *made.bag_labels, made.checklist, made.cart_card]
            written += print_sheets(papers, out, printer=books.settings())
        for walk in walks:
            if walk.released_at is None:
                release_walk(books, walk, at=at, person=person)
    return written
