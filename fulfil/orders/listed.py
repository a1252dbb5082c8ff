"""What a list shows when nobody asks for more: what is still open, and all of the last day that there was.

>>> from pathlib import Path
>>> from tempfile import TemporaryDirectory
>>> from fulfil.store.shop import open_shop
>>> with TemporaryDirectory() as folder, open_shop(Path(folder) / "shop.db", create=True).reading() as books:
...     recent_orders(books), recent_walks(books), recent_packages(books), recent_manifests(books)
([], [], [], [])
"""

from collections.abc import Iterable
from typing import TypeVar

from sqlmodel import SQLModel

from fulfil.records.despatch.dispatch import HERE, Manifest, ManifestState, Package
from fulfil.records.order import OPEN, Order
from fulfil.records.plan import WalkRecord
from fulfil.shop.clock import day_span, local_day
from fulfil.store.books import Books
from fulfil.store.rows import key_of

R = TypeVar("R", bound=SQLModel)


def recent_orders(books: Books, *, is_all: bool = False) -> list[Order]:
    """Orders that are open, and those that came in on the last day with orders."""
    if is_all:
        return books.find(Order)
    settings = books.settings()
    last = books.greatest(Order, "received_at")
    start = None if last is None else day_span(local_day(last, settings), settings)[0]
    return _once(books.find(Order, state=OPEN), books.between(Order, "received_at", start))


def recent_walks(books: Books, *, is_all: bool = False) -> list[WalkRecord]:
    """Walks that are not released yet, and those of the last day with walks."""
    if is_all:
        return books.find(WalkRecord)
    last = books.greatest(WalkRecord, "day")
    return _once(books.find(WalkRecord, released_at=None), books.find(WalkRecord, day=last))


def recent_packages(books: Books, *, is_all: bool = False) -> list[Package]:
    """Packages that are here, and those on manifests of the last day with manifests."""
    if is_all:
        return books.find(Package)
    manifests = [one.number for one in recent_manifests(books)]
    return _once(books.find(Package, state=[*HERE]), books.find(Package, manifest_number=manifests))


def recent_manifests(books: Books, *, is_all: bool = False) -> list[Manifest]:
    """Manifests that are open, and those of the last day with manifests."""
    if is_all:
        return books.find(Manifest)
    last = books.greatest(Manifest, "day")
    return _once(books.find(Manifest, state=ManifestState.OPEN), books.find(Manifest, day=last))


def _once(*lists: Iterable[R]) -> list[R]:
    """All of them, each once, in the order of their key."""
    found = {key_of(one): one for records in lists for one in records}
    return [found[key] for key in sorted(found)]
