"""Release a walk: from now on it is on paper, and what was promised to its bags is in them.

The papers are made and printed beside the shop's work, nobody at a bench waits for the printer; then each walk is
released by itself if it still is what its papers say. One that changed meanwhile is printed anew, or refused.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from fulfil.errors import StateRefused
from fulfil.orders.gates import must_add_up
from fulfil.orders.moving import release_bags
from fulfil.papers.sheet import Sheet
from fulfil.papers.walk.layouts import BY_WALK, layout_named
from fulfil.papers.walk.pick_list_sheet import PickListSheet
from fulfil.progress import each
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.revised import revised
from fulfil.shop.printers import printers_of
from fulfil.shop.printing import print_sheets
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import WalkSheets, walk_sheets
from fulfil.weighing.lookalike import LookAlikeIndex

MOST_PRINTINGS = 3
"""How often papers are printed again when their walks changed meanwhile."""


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
    """Makes pick list, bag labels, checklist and cart card of walks for their printers, then releases those not yet so.

    No numbers mean all walks that aren't released. A released walk is printed again, the same byte for byte.
    ``layout`` is the pick list's (:mod:`fulfil.papers.walk.layouts`).

    Raises:
        PaperRefused: when there is no such layout.
        UnknownRefused: when there is no such walk.
        StateRefused: when there is nothing to release, or a walk changed while it was printed; those before it are
            released.
        FileRefused: when a paper can't be written; the walks stay unreleased.
    """
    pick_lists = layout_named(layout)
    with shop.reading() as books:
        asked = _asked(books, numbers)
        found = index(books)
        _must_add_up(books, [walk for walk in asked if walk.released_at is None])
    written: list[Path] = []
    for walk in each("printing walks", asked):
        written += _release_printed(shop, walk.number, out, pick_lists, found, at=at, person=person)
    return written


def _release_printed(
    shop: Shop,
    number: str,
    out: Path,
    pick_lists: Callable[[PickListSheet], Sequence[Sheet]],
    found: LookAlikeIndex,
    *,
    at: datetime,
    person: str,
) -> list[Path]:
    """Prints one walk, then releases it if it still is what its papers say."""
    for _ in range(MOST_PRINTINGS):
        with shop.reading() as books:
            walk = books.get(WalkRecord, number)
            if walk is None:
                break
            made = walk_sheets(books, walk, index=lambda _: found)
            settings, printers = books.settings(), printers_of(books)
        papers = [*pick_lists(made.pick_list), *made.bag_labels, made.checklist, made.cart_card]
        written = print_sheets(papers, out, printer=settings, printers=printers)
        if walk.released_at is not None:
            return written

        def is_so(books: Books, walk: WalkRecord = walk, made: WalkSheets = made) -> bool:
            return books.get(WalkRecord, number) == walk and walk_sheets(books, walk, index=lambda _: found) == made

        with shop.writing_with(is_so) as (books, is_as_printed):
            if is_as_printed:
                release_walk(books, walk, at=at, person=person)
                return written
    expected = "a plan that stays as it is while it is printed; throw this walk's papers away and release again"
    raise StateRefused("release walk", number, expected)


def _asked(books: Books, numbers: Sequence[str]) -> list[WalkRecord]:
    walks = [books.need(WalkRecord, number) for number in numbers] or books.find(WalkRecord, released_at=None)
    if not walks:
        raise StateRefused("release walks of", "the plan", "a planned walk; plan first")
    return walks


def _must_add_up(books: Books, walks: Sequence[WalkRecord]) -> None:
    for walk in walks:
        numbers = {bag.order_number for bag in books.find(Bag, walk_number=walk.number)}
        must_add_up(books, f"release walk {walk.number} with order", sorted(numbers))
