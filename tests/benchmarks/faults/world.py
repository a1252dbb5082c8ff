"""One seed is a world: its clock, whose turn it is, what the scales show, which disk is full, who is cut off when.

Each person has the shop opened for themselves (:class:`Watched`). Where a step is about to write, the world may let
others do theirs first, so that what was read before is stale; it may let the disk be full; and it may *kill* the
program: in the middle of the transaction, or when it is committed and nobody has heard of it. A person who was killed
starts their program anew and asks for the same again, with the same key.

Nothing else decides: the same seed gives the same steps, the same books, the same seal (the idea is described by
FoundationDB, "Simulation and Testing", and TigerBeetle, "Deterministic Simulation Testing"; both from memory).
"""

import random
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta
from pathlib import Path
from typing import ClassVar

from sqlalchemy import URL

from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop

MOST_WITHIN = 2
"""So deep may steps lie within each other."""
_NO_LIMIT = 2**30


class Killed(BaseException):
    """The program is gone, as by kill -9: no line of it after this one is run."""


class Watched(Shop):
    """A person's own door to the shop; the world stands in it."""

    world: "World"

    @contextmanager
    def writing(self, *, is_preview: bool = False) -> Iterator[Books]:
        """As any shop's, with what the world does to it."""
        self.world.before_writing()
        is_killed, is_full = self.world.chance("killed in it"), self.world.chance("disk full")
        with super().writing(is_preview=is_preview) as books:
            raw = books._connection.exec_driver_sql
            pages = raw("PRAGMA page_count").scalar() if is_full else _NO_LIMIT
            raw(f"PRAGMA max_page_count = {pages}")
            self.world.seen["disk full"] += is_full
            yield books
            if is_killed:
                self.world.seen["killed before the commit"] += 1
                raise Killed
        self.world.saved += 1
        if self.world.chance("killed after it"):
            self.world.seen["killed after the commit"] += 1
            raise Killed


class World:
    """The clock, the chance and the disk."""

    SHARES: ClassVar = {
        "killed in it": 0.03,
        "killed after it": 0.03,
        "disk full": 0.02,
        "others first": 0.15,
        "no paper": 0.1,
    }

    def __init__(self, seed: int, path: Path, began: datetime) -> None:
        self.seed, self.path, self.now = seed, path, began
        self.random = random.Random(seed)
        self.seen: Counter[str] = Counter()
        self.is_quiet = False
        """Nothing happens to anybody: so that an evening comes to its end."""
        self.others: list[object] = []
        self.within = 0
        self.saved = 0
        """Transactions that anybody ended without being cut off: where there is none more, nothing can have changed."""

    def open(self, *, is_first: bool = False) -> Watched:
        """The shop, for one person; whether it is a shop of this release was looked at when the world began."""
        shop = (
            Shop(URL.create("sqlite", database=str(self.path)), str(self.path), wait_s=1)
            if is_first
            else open_shop(self.path, wait_s=1)
        )
        shop.__class__ = Watched
        assert isinstance(shop, Watched)
        shop.world = self
        return shop

    def chance(self, what: str) -> bool:
        """Whether this happens now."""
        return self.random.random() < self.SHARES[what] and not self.is_quiet

    def tick(self) -> datetime:
        """Some time has passed; no two steps are at one moment."""
        self.now += timedelta(seconds=self.random.randint(1, 90))
        return self.now

    def papers(self) -> Path:
        """Where papers go; now and then to a place that is no folder."""
        if self.chance("no paper"):
            self.seen["paper folder that is none"] += 1
            return self.path / "papers"
        return self.path.parent / "papers"

    def before_writing(self) -> None:
        """Others may be faster."""
        if self.within < MOST_WITHIN and self.others and self.chance("others first"):
            self.seen["others were faster"] += 1
            one = self.random.choice(self.others)
            if not one.is_busy:  # type: ignore[attr-defined]
                one.step()  # type: ignore[attr-defined]
