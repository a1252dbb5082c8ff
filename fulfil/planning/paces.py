"""How far walks' times scatter about what was expected: the day, the person, the walk.

A walk takes its expected time times a factor whose logarithm is normal: a part that all walks share (how wrong the
expectation is), one that is the person's, and one of the walk itself. Which of them scatters how much follows from
walks that were timed, by analysis of variance of unequal groups (S. R. Searle, G. Casella, C. E. McCulloch, Variance
Components, 1992, chapter 3, quoted from memory). Before that, and weighed against few walks like so many of them,
stand guesses of our own: 15 % for what is shared, 10 % from person to person, 15 % from walk to walk.

>>> unknown = learn_pace({})
>>> unknown == Pace(0.0, 0.15, 0.10, 0.15)
True
>>> slow = learn_pace({name: [1.2] * 40 for name in "ABCDEFGHIJ"})
>>> round(slow.bias, 2), slow.shared_sd < 0.05, slow.walk_sd < 0.04
(0.18, True, True)

A walk of 600 s that began 500 s ago at a fast pace has likely less than 100 s to go, at any pace more than none:

>>> left_s(600, 0, unknown), left_s(600, 500, unknown) > 100, left_s(600, 1200, unknown) > 0
(600, True, True)

Limits: one factor for walking and counting alike.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
import numpy.typing as npt

GUESS_WALKS, GUESS_PEOPLE = 8, 2
"""The guesses count like so many timed walks and people (own choice)."""


@dataclass(frozen=True)
class Pace:
    """Logarithm of time taken over time expected: its mean, and the s.d. of its three parts."""

    bias: float = 0.0
    shared_sd: float = 0.15
    picker_sd: float = 0.10
    walk_sd: float = 0.15

    @property
    def sd(self) -> float:
        """Standard deviation of one walk of anybody."""
        return sqrt(self.shared_sd**2 + self.picker_sd**2 + self.walk_sd**2)


def learn_pace(ratios: Mapping[str, Sequence[float]]) -> Pace:
    """What times taken over times expected, above 0, say of the pace; by person."""
    guess = Pace()
    logs = {person: np.log(np.asarray(taken, float)) for person, taken in sorted(ratios.items()) if len(taken)}
    if not logs:
        return guess
    means = {person: float(one.mean()) for person, one in logs.items()}
    sizes = np.array([one.size for one in logs.values()], float)
    count, people = float(sizes.sum()), len(logs)
    within = sum(float(((one - means[person]) ** 2).sum()) for person, one in logs.items())
    walk_var = (GUESS_WALKS * guess.walk_sd**2 + within) / (GUESS_WALKS + count - people)
    picker_var = guess.picker_sd**2
    if people > 1:
        grand = sum(float(one.sum()) for one in logs.values()) / count
        between = sum(one.size * (means[person] - grand) ** 2 for person, one in logs.items()) / (people - 1)
        even = (count - float((sizes**2).sum()) / count) / (people - 1)
        seen = max(0.0, (between - walk_var) / even)
        picker_var = (GUESS_PEOPLE * picker_var + (people - 1) * seen) / (GUESS_PEOPLE + people - 1)
    # The mean of each person, weighed by how well it is known, against a guess of 0.
    weights = 1 / (picker_var + walk_var / sizes)
    prior = 1 / guess.shared_sd**2
    known = float(weights.sum()) + prior
    bias = float((weights * np.array(list(means.values()))).sum()) / known
    return Pace(bias, sqrt(1 / known), sqrt(picker_var), sqrt(walk_var))


def drawn_left_s(
    expected_s: float, elapsed_s: float, pace: Pace, shares: npt.NDArray[np.float64]
) -> npt.NDArray[np.float64]:
    """Seconds that a walk still takes, given that it hasn't ended yet, for shares 0 to 1 of its distribution."""
    from scipy.special import ndtr, ndtri

    gone = 0.0
    if elapsed_s > 0:
        # Beyond four s.d. a walk is simply late: its tail is no more told by the pace.
        deviation = (log(elapsed_s / expected_s) - pace.bias) / pace.sd
        gone = float(ndtr(min(4.0, deviation)))
    factors = np.exp(pace.bias + pace.sd * ndtri(np.minimum(gone + (1 - gone) * shares, 1 - 1e-12)))
    left: npt.NDArray[np.float64] = np.maximum(expected_s * factors - elapsed_s, 0.05 * expected_s)
    return left


def left_s(expected_s: float, elapsed_s: float, pace: Pace) -> int:
    """Whole seconds that a walk still takes as likely as not, rounded up; at least a twentieth of what was expected."""
    if elapsed_s <= 0:
        return -int(-expected_s * exp(pace.bias) // 1)
    return -int(-float(drawn_left_s(expected_s, elapsed_s, pace, np.array([0.5]))[0]) // 1)
