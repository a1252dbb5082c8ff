"""Chance with a fixed seed, the same on every machine and with every numpy release.

numpy promises the raw stream of a bit generator, not what a ``Generator`` makes of it (NEP 19), so the few draws
that the demo shop needs are made from the raw stream here. Each topic has a stream of its own: one part more in one
family leaves the other families as they are.

>>> Chance("doctest").below(1000) == Chance("doctest").below(1000)
True
"""

from bisect import bisect_right
from collections.abc import Sequence
from hashlib import sha256
from itertools import accumulate
from math import exp
from statistics import NormalDist
from typing import Generic, TypeVar

from numpy.random import PCG64

SEED = 20260302
"""The seed of the whole demo shop: the date of its demo day."""

_STANDARD_NORMAL = NormalDist()
_T = TypeVar("_T")


class Chance:
    """One stream of draws, given by :data:`SEED` and the name of a topic."""

    def __init__(self, topic: str) -> None:
        digest = sha256(f"{SEED} {topic}".encode()).digest()
        self._bits = PCG64(int.from_bytes(digest[:16], "big"))

    def share(self) -> float:
        """A number from 0 (never reached) to 1 (never reached)."""
        return (int(self._bits.random_raw()) // 2048 + 0.5) / 2**53

    def below(self, limit: int) -> int:
        """A whole number from 0 to ``limit`` - 1."""
        return int(self.share() * limit)

    def happens(self, probability: float) -> bool:
        """Whether an event of this probability happens."""
        return self.share() < probability

    def between(self, low: float, high: float) -> float:
        """A number between two others, all equally likely."""
        return low + (high - low) * self.share()

    def normal(self, mean: float = 0.0, sd: float = 1.0) -> float:
        """A normally distributed number."""
        return mean + sd * _STANDARD_NORMAL.inv_cdf(self.share())

    def lognormal(self, sd_of_log: float) -> float:
        """A skewed factor with median 1."""
        return exp(self.normal(0.0, sd_of_log))

    def pick(self, choices: Sequence[_T]) -> _T:
        """One of the choices, all equally likely."""
        return choices[self.below(len(choices))]


class Urn(Generic[_T]):
    """Choices of unequal weight, drawn with replacement."""

    def __init__(self, choices: Sequence[_T], weights: Sequence[float]) -> None:
        self._choices = choices
        self._up_to = list(accumulate(weights))

    def draw(self, chance: Chance) -> _T:
        """One choice, by weight."""
        return self._choices[bisect_right(self._up_to, chance.share() * self._up_to[-1])]
