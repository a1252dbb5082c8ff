"""How often one device may try to get in: ten times within five minutes, whoever it says it is.

A person's own wrong PINs are counted in the shop (:mod:`fulfil.bench.people`); this stops a device that goes through
names, or through pairing codes.

>>> at = datetime(2026, 3, 2, 8, tzinfo=UTC)
>>> tries = Tries()
>>> [tries.may("10.0.0.7", at) for _ in range(11)][-2:], tries.may("10.0.0.8", at)
([True, False], True)
>>> tries.may("10.0.0.7", at + WITHIN)
True
"""

from collections import deque
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from threading import Lock

__all__ = ["UTC", "Tries"]

MOST = 10
WITHIN = timedelta(minutes=5)
_MOST_DEVICES = 1000


@dataclass
class Tries:
    """The last tries of each device."""

    _last: dict[str, deque[datetime]] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def may(self, device: str, at: datetime) -> bool:
        """Whether the device may try now; a try that it may is counted."""
        with self._lock:
            if len(self._last) > _MOST_DEVICES:
                self._last = {one: last for one, last in self._last.items() if last and at - last[-1] < WITHIN}
            last = self._last.setdefault(device, deque())
            while last and at - last[0] >= WITHIN:
                last.popleft()
            if len(last) >= MOST:
                return False
            last.append(at)
            return True
