"""How often each mistake happens in this shop: the given rates, moved by what its own verdicts found.

Each rate has a Beta prior of mean p, the given rate, worth :data:`PRIOR_BAGS` bags; k found in n bags that would have
shown it make it Beta(a + k, b + n - k), conjugate to the binomial. Only what a person found out is counted, never what
a diagnosis guessed: a rate that rests on guesses would confirm them. A rate that no verdict decides (a tare slip, a
moved zero) stays as given, and so does a sum: what the learned rates gain, "right" loses.

>>> rates = learned_rates(BagPriors(), {"one_short": Found(18, 500), "look_alike": Found(0, 4000)})
>>> [(rate.name, rate.given, round(rate.rate, 5)) for rate in rates]
[('one_short', 0.006, 0.021), ('look_alike', 0.003, 0.00033)]
>>> after = with_rates(BagPriors(), rates)
>>> after.one_short, after.tare_twice, round(after.right, 4)
(0.021, 0.001, 0.9577)
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from fulfil.errors import WeighingRefused
from fulfil.weighing.causes.mistake_priors import BagPriors
from fulfil.weighing.tails import betaincinv

PRIOR_BAGS = 500
"""So many bags a given rate is worth against the shop's own: about a day of a shop of a hundred orders (judgement)."""


@dataclass(frozen=True, slots=True)
class Found:
    """``count`` bags with the mistake among ``of`` that were checked in a way that shows it."""

    count: int
    of: int

    def __post_init__(self) -> None:
        if not 0 <= self.count <= self.of:
            raise WeighingRefused("learn a rate from", f"{self.count} of {self.of}", "bags found among bags checked")


@dataclass(frozen=True, slots=True)
class LearnedRate:
    """A rate as given and as the shop's verdicts make it, with its central 95 % interval."""

    name: str
    given: float
    found: Found
    rate: float
    low: float
    high: float


def learned_rates(given: BagPriors, found: Mapping[str, Found]) -> tuple[LearnedRate, ...]:
    """The rates that verdicts decide, by the names of :class:`BagPriors`, in the order they came.

    Raises:
        WeighingRefused: more found than checked, or a rate of 0 or of 1 and more, which no count could move.
    """
    rates = []
    for name, one in found.items():
        p = getattr(given, name)
        if not 0.0 < p < 1.0:
            raise WeighingRefused(f"learn the rate {name} from a given", p, "a rate between 0 and 1")
        a, b = PRIOR_BAGS * p + one.count, PRIOR_BAGS * (1 - p) + one.of - one.count
        low, high = (float(betaincinv(a, b, p_below)) for p_below in (0.025, 0.975))
        rates.append(LearnedRate(name, p, one, a / (a + b), low, high))
    return tuple(rates)


def with_rates(given: BagPriors, rates: tuple[LearnedRate, ...]) -> BagPriors:
    """The priors with the learned rates in place; what they gain, "right" loses, down to a half."""
    gained = sum(one.rate - one.given for one in rates)
    return replace(given, right=max(0.5, given.right - gained), **{one.name: one.rate for one in rates})
