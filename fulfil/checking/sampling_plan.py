"""Checking only some of the bags that carry no special risk, and what that lets out of the house. Default: check all.

The plan is the continuous sampling plan CSP-1 (H. F. Dodge, "A sampling inspection plan for continuous production",
Annals of Mathematical Statistics 14 (1943) 264, doi 10.1214/aoms/1177731420): check every bag until ``clear`` in a row
were right, then one in ``one_in``; a wrong one starts the counting again. With p the share of wrong bags coming in,
q = 1 − p, the mean numbers of bags passed in the two phases, and the share that is checked, are::

    u = (1 − qⁱ) / (p qⁱ)        v = 1 / (f p)        F = (u + f v) / (u + v)        f = 1 / one_in

A checked wrong bag is caught with probability ``caught``. What goes out wrong is p (1 − F · caught); its largest value
over all p is the average outgoing quality limit, AOQL.

>>> plan = SamplingPlan(one_in=2, clear=84)
>>> f"{plan.outgoing_limit():.2%}", f"{plan.outgoing(0.01):.2%}", f"{plan.checked_share(0.01):.0%}"
('0.33%', '0.30%', '70%')

Limits: bags are taken as wrong independently of each other, in the order of checking; a wrong part that nobody looks
at is outside the plan. Which bags are checked is fixed by their codes, so nobody can choose.
"""

from dataclasses import dataclass
from zlib import crc32

import numpy as np

from fulfil.errors import PlanRefused


@dataclass(frozen=True)
class SamplingPlan:
    """One bag in ``one_in`` is checked once ``clear`` in a row were right.

    Raises:
        PlanRefused: numbers below 1.
    """

    one_in: int
    clear: int

    def __post_init__(self) -> None:
        if self.one_in < 1 or self.clear < 1:
            raise PlanRefused("sample one bag in", f"{self.one_in} after {self.clear}", "whole numbers from 1")

    def asks_for(self, bag_code: str, clear_run: int) -> bool:
        """Whether this bag is checked, after so many right ones in a row."""
        return clear_run < self.clear or crc32(bag_code.encode()) % self.one_in == 0

    def checked_share(self, wrong: float) -> float:
        """F: the share of bags checked in the long run, when the share ``wrong`` comes in wrong."""
        if wrong <= 0:
            return 1 / self.one_in
        right_run = (1 - wrong) ** self.clear
        # u and v times p qⁱ, which may be too small to divide by.
        until_clear, sampled = 1 - right_run, self.one_in * right_run
        return (until_clear + sampled / self.one_in) / (until_clear + sampled)

    def outgoing(self, wrong: float, caught: float = 1.0) -> float:
        """The share of bags that goes out wrong."""
        return wrong * (1 - self.checked_share(wrong) * caught)

    def outgoing_limit(self, caught: float = 1.0, most_wrong: float = 0.5) -> float:
        """AOQL: the largest share that can go out wrong, whatever comes in, up to ``most_wrong``."""
        grid = np.geomspace(1e-6, most_wrong, 4000)
        return float(max(self.outgoing(float(wrong), caught) for wrong in grid))

    def statement(self, wrong: float, caught: float = 1.0) -> str:
        """What the plan lets out, for the screen and the checklist.

        >>> SamplingPlan(5, 84).statement(0.004)
        'One bag in 5 after 84 right ones in a row; 26% are checked. If 0.40% come in wrong, 0.30% go out wrong, \
at worst 0.85% whatever comes in.'
        """
        return (
            f"One bag in {self.one_in} after {self.clear} right ones in a row; {self.checked_share(wrong):.0%} are "
            f"checked. If {wrong:.2%} come in wrong, {self.outgoing(wrong, caught):.2%} go out wrong, at worst "
            f"{self.outgoing_limit(caught):.2%} whatever comes in."
        )
