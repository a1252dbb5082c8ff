"""Whether anything has happened in the shop: the number of the journal's last entry, looked up once for all pages.

On PostgreSQL one connection listens and every server process hears at once what any of them saved; where that
connection breaks, and on SQLite, the journal is looked at, which is one step in its index.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from threading import Event, Lock, Thread
from time import monotonic

from fulfil.errors import StoreRefused
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.store.shop import Shop

LOOK_S = 0.3
"""What was looked up holds for so long."""


@dataclass
class News:
    """The journal's last entry; ``tick`` gives seconds that only grow."""

    shop: Shop
    tick: Callable[[], float] = monotonic
    _newest: int = 0
    _looked: float | None = None
    _hears: bool = False
    _over: Event = field(default_factory=Event)
    _lock: Lock = field(default_factory=Lock)
    _thread: Thread | None = None

    def newest(self) -> int:
        """Its number, 0 where nothing has happened yet; at most :data:`LOOK_S` old."""
        with self._lock:
            self._begin()
            is_old = self._looked is None or self.tick() - self._looked >= LOOK_S
            if is_old and not self._hears:
                self._look()
            return self._newest

    def close(self) -> None:
        """Hears no more."""
        self._over.set()
        if self._thread is not None:
            self._thread.join(3)

    def _begin(self) -> None:
        if self._thread is None:
            self._thread = Thread(target=self._hear, daemon=True, name="news")
            self._thread.start()

    def _hear(self) -> None:
        """Until the connection breaks; then newest() looks by itself."""
        try:
            for _ in self.shop.news(self._over.is_set):
                with self._lock:
                    self._look()
                    self._hears = True
        except StoreRefused:
            pass
        finally:
            self._hears = False

    def _look(self) -> None:
        with self.shop.reading() as books:
            self._newest = books.greatest(JournalEntry, "id") or 0
        self._looked = self.tick()
