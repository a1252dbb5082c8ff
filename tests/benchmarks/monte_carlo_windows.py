"""Two million simulated bags per case: are the stated risks the risks that happen?

Run it from the project folder: ``python tests/benchmarks/monte_carlo_windows.py [bags per case]``. It prints one row
per case and ends with exit code 1 if any stated probability lies further than 4.8 standard errors from the simulated
one (with some 2,400 comparisons, chance alone does that about once in 250 runs; the seed is fixed).

Three experiments, over a piece s.d. of 0.1 to 5 %, samples of 5 to 200, bags of 1 to 2 000 and the largest count:

- *fresh*: every bag gets a fresh sample; limits keep their distance from the target (what ``count_window`` states);
- *own*: limits as printed, the display rounds, the true unit weight lies about the sample's (what a plan states);
- *redone*: every bag gets a fresh sample *and* a window computed anew from it. Nothing states this one; the column
  shows how far it is from the stated risk, as a ratio.

Result of 25 November 2026, 139 cases of 2,000,000 bags: farthest 3.54 standard errors. Redone windows pass one over
1.0 to 1.1 times as often as stated with samples of 50 and more (1.3 with 0.1 % scatter, where the scale governs), up to
2.1 times with samples of 5 and 10, all at the largest count; well below it nothing is left to compare.

Pieces are normal; with ``--gamma`` they are gamma-distributed (skewed to the heavy side), which no formula knows of,
and nothing is asserted.
"""

import sys
from dataclasses import dataclass
from decimal import Decimal
from itertools import product
from typing import Any

import numpy as np

from fulfil.weighing.limits import on_scale, risks_of_limits
from fulfil.weighing.window import count_window, largest_count
from fulfil.weighing.window_types import CountWindow

FARTHEST_STANDARD_ERRORS = 4.8
INTERVAL_G = Decimal("0.05")


@dataclass(frozen=True)
class Case:
    """A part of 1 g with relative s.d. ``c``, a sample of ``sample`` pieces and bags of ``pieces``."""

    c: float
    sample: int
    pieces: int
    reading_u_g: float = 0.02
    noise_g: float = 0.02
    tare_u_g: float = 0.02

    @property
    def part(self) -> dict[str, float]:
        """The arguments that ``count_window`` takes."""
        rounding = float(INTERVAL_G) ** 2 / 12
        return {
            "unit_weight_g": 1.0,
            "unit_weight_u_g": (self.c**2 / self.sample + (self.reading_u_g / self.sample) ** 2) ** 0.5,
            "piece_sd_g": self.c,
            "indication_u_g": (self.noise_g**2 + rounding) ** 0.5,
            "tare_g": 3.0,
            "tare_u_g": self.tare_u_g,
        }


def pile_g(pieces: int, case: Case, bags: int, rng: np.random.Generator, gamma: bool) -> np.ndarray:
    """The mass of ``pieces`` pieces, once for each bag."""
    if pieces == 0:
        return np.zeros(bags)
    if gamma:
        return rng.gamma(pieces / case.c**2, case.c**2, bags)
    return rng.normal(pieces, case.c * pieces**0.5, bags)


def sampled_g(case: Case, bags: int, rng: np.random.Generator, gamma: bool) -> np.ndarray:
    """A fresh unit weight for each bag."""
    weights = pile_g(case.sample, case, bags, rng, gamma) + rng.normal(0, case.reading_u_g, bags)
    return weights / case.sample


def fresh(case: Case, window: CountWindow, bags: int, rng: np.random.Generator, gamma: bool = False) -> list[float]:
    """Shares of bags with one short, right and one over that pass, each bag with a fresh sample."""
    low, high = window.lower_g - window.target_g, window.upper_g - window.target_g
    shares = []
    for offset in (-1, 0, 1):
        pile = pile_g(case.pieces + offset, case, bags, rng, gamma)
        errors = rng.normal(0, case.part["indication_u_g"], bags) + rng.normal(0, case.tare_u_g, bags)
        deviation = pile + errors - case.pieces * sampled_g(case, bags, rng, gamma)
        shares.append(float(np.mean((deviation >= low) & (deviation <= high))))
    return shares


def own(
    case: Case, limits: tuple[Decimal, Decimal], bags: int, rng: np.random.Generator, gamma: bool = False
) -> list[float]:
    """The same shares for one sample that said 1 g, printed limits and a display that really rounds."""
    d = float(INTERVAL_G)
    lowest, highest = (round(limit / INTERVAL_G) for limit in limits)
    shares = []
    for offset in (-1, 0, 1):
        pieces = case.pieces + offset
        true_unit = 1.0 - rng.normal(0, case.part["unit_weight_u_g"], bags)
        pile = pile_g(pieces, case, bags, rng, gamma) + pieces * (true_unit - 1.0)
        tare = case.part["tare_g"] + rng.normal(0, case.tare_u_g, bags)
        steps = np.rint((pile + tare + rng.normal(0, case.noise_g, bags)) / d)
        shares.append(float(np.mean((steps >= lowest) & (steps <= highest))))
    return shares


def redone(case: Case, bags: int, rng: np.random.Generator, gamma: bool = False) -> list[float]:
    """The same shares when the window itself is computed from each fresh sample, among samples that resolve the bag."""
    shares = []
    for offset in (-1, 0, 1):
        part: dict[str, Any] = case.part | {"unit_weight_g": sampled_g(case, bags, rng, gamma)}
        windows = count_window(case.pieces, **part)
        errors = rng.normal(0, part["indication_u_g"], bags) + rng.normal(0, case.tare_u_g, bags)
        gross = pile_g(case.pieces + offset, case, bags, rng, gamma) + errors + part["tare_g"]
        inside = (gross >= windows.lower_g) & (gross <= windows.upper_g)
        shares.append(float(np.mean(inside[windows.resolvable])))
    return shares


def standard_errors(share: float, probability: float, bags: int) -> float:
    """How many binomial standard errors a simulated share is from the stated probability."""
    variance = max(probability * (1 - probability), 0.25 / bags) / bags
    return abs(share - probability) / variance**0.5


def cases() -> list[Case]:
    """Every combination, and each part's largest count."""
    listed = []
    for c, sample in product((0.001, 0.005, 0.01, 0.02, 0.05), (5, 10, 50, 200)):
        largest = largest_count(**Case(c, sample, 1).part)
        listed += [Case(c, sample, n) for n in sorted({1, 10, 50, 200, 1000, 2000, min(largest, 2000)})]
    return listed


def main(bags: int, gamma: bool) -> int:
    """Print the table; return 1 if a stated probability isn't the simulated one."""
    rng = np.random.default_rng(20250107)
    farthest = 0.0
    print("    c    n     N  resolvable   stated: short    right     over   redone/stated: short  over   worst s.e.")
    for case in cases():
        window = count_window(case.pieces, **case.part)
        stated = [window.p_pass_one_short, 1 - window.p_reject, window.p_pass_one_over]
        worst = max(map(standard_errors, fresh(case, window, bags, rng, gamma), stated, [bags] * 3))
        limits = on_scale(window, INTERVAL_G)
        risks = risks_of_limits(case.pieces, *limits, **case.part, d_g=INTERVAL_G, averaged_over="own sample")
        printed = [risks.p_pass_one_short, risks.p_pass_right, risks.p_pass_one_over]
        worst = max(worst, *map(standard_errors, own(case, limits, bags, rng, gamma), printed, [bags] * 3))
        again = redone(case, bags // 5, rng, gamma) if window.resolvable else [0.0] * 3
        ratios = [
            f"{share / p:5.2f}" if window.resolvable and p > 2e-4 else "    -"
            for share, p in zip(again[::2], stated[::2], strict=True)
        ]
        print(
            f"{100 * case.c:4.1f}% {case.sample:4} {case.pieces:5}  {window.resolvable!s:10}"
            f"   {stated[0]:13.2e} {stated[1]:8.5f} {stated[2]:8.2e}   {ratios[0]:>20} {ratios[1]}   {worst:10.2f}"
        )
        farthest = max(farthest, worst)
    print(f"{len(cases())} cases of {bags:,} bags; farthest: {farthest:.2f} standard errors")
    return int(farthest > FARTHEST_STANDARD_ERRORS and not gamma)


if __name__ == "__main__":
    numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
    sys.exit(main(numbers[0] if numbers else 2_000_000, "--gamma" in sys.argv))
