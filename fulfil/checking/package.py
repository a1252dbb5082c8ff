"""What a package should weigh, within which window, and what its weight can't show.

A passed bag was weighed, so the package is expected to weigh the sum of its bags' own indications, the box with its
cushioning and the papers. The standard deviation adds in squares (JCGM 100:2008, 5.1.2): each bag's indication,
the box and its cushioning from one to the next, the package scale. The window is ``z(1 − risk_reject/2)`` standard
deviations wide on either side, where a display shows it: an indication stands for every load within half an interval
of it. A shift is seen with the stated risk from the farther limit, half an interval and ``z(1 − risk_pass)`` standard
deviations on.

>>> check = expect_package([(Decimal("92.1"), 0.05), (Decimal("102.1"), 0.05)], box_tare_g=Decimal("60"),
...     box_tare_sd_g=1.0, indication_u_g=0.6, d_g=Decimal("1"))
>>> check.expected_g, check.lower_g, check.upper_g
(Decimal('254'), Decimal('251'), Decimal('257'))

A package weight finds a missing bag, rarely a missing screw: bags are where counts are proven.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import inf, sqrt
from statistics import NormalDist

from fulfil.quantities import nearest_step, up_to_step
from fulfil.records.weighing import Verdict


@dataclass(frozen=True)
class ExpectedPackage:
    """Expected gross mass, window on the scale's digits, s.d., and the least shift that is seen, in grams."""

    expected_g: Decimal
    lower_g: Decimal
    upper_g: Decimal
    sd_g: float
    visible_from_g: Decimal


@dataclass(frozen=True)
class PackageLine:
    """One bag in the package: its line of the order, its gross mass and one piece of it, in g (0: never weighed)."""

    line_no: int
    bag_code: str
    mass_g: float
    unit_weight_g: float


@dataclass(frozen=True)
class PackageVerdict:
    """The verdict and its reason; ``likely_causes`` are sentences with probabilities, most likely first."""

    verdict: Verdict
    reason: str
    likely_causes: tuple[str, ...] = ()


def expect_package(
    bags: Sequence[tuple[Decimal, float]],
    *,
    box_tare_g: Decimal,
    box_tare_sd_g: float,
    indication_u_g: float,
    d_g: Decimal,
    cushioning_g: Decimal = Decimal(0),
    cushioning_sd_g: float = 0.0,
    risk_pass: float = 0.001,
    risk_reject: float = 0.005,
) -> ExpectedPackage:
    """Expected gross mass of a package from its bags, given as (gross mass, standard uncertainty) in grams.

    The window's limits are indications, steps of ``d_g``: the narrowest that hold ``risk_reject`` whatever lies
    between two steps.
    """
    expected = sum((mass for mass, _ in bags), box_tare_g + cushioning_g)
    sd = sqrt(sum(u * u for _, u in bags) + box_tare_sd_g**2 + cushioning_sd_g**2 + indication_u_g**2)
    standard = NormalDist()
    half_d = d_g / 2
    # An indication stands for every load within half an interval of it: counted exactly, not as d²/12.
    without_rounding = sqrt(max(sd**2 - float(d_g) ** 2 / 12, 0.0))
    reach = Decimal(repr(standard.inv_cdf(1 - risk_reject / 2) * without_rounding))
    lower, upper = -up_to_step(reach - expected - half_d, d_g), up_to_step(expected + reach - half_d, d_g)
    farthest = max(expected - lower, upper - expected) + half_d
    visible = up_to_step(farthest + Decimal(repr(standard.inv_cdf(1 - risk_pass) * without_rounding)), d_g)
    centre = min(max(nearest_step(expected, d_g), lower), upper)
    return ExpectedPackage(centre, lower, upper, sd, visible)


def judge_package(
    gross_g: Decimal, expected: ExpectedPackage, *, likely_causes: tuple[str, ...] = ()
) -> PackageVerdict:
    """Passed inside the window (limits included), else stop: open the box and look before anything is sealed."""
    window = f"{expected.lower_g} to {expected.upper_g} g"
    if expected.lower_g <= gross_g <= expected.upper_g:
        return PackageVerdict(Verdict.PASSED, f"weighs {gross_g} g, inside {window}")
    off = gross_g - expected.expected_g
    side = "lighter" if off < 0 else "heavier"
    return PackageVerdict(
        Verdict.STOP, f"weighs {gross_g} g, {abs(off)} g {side} than expected ({window})", likely_causes
    )


def what_is_seen(lines: Sequence[PackageLine], visible_from_g: Decimal) -> str:
    """What the package's weight can show for these bags, and what it can't, as one sentence.

    >>> bags = [PackageLine(1, "B-1", 92.1, 0.9), PackageLine(2, "B-2", 102.1, 2.0), PackageLine(3, "B-3", 3.1, 0.05),
    ...         PackageLine(4, "B-4", 270.1, 13.4)]
    >>> what_is_seen(bags, Decimal("3.8"))
    'A missing bag of 3.8 g or more is seen, bag B-3 (3.1 g) is not; single pieces of line 4 are seen, of lines \
1, 2, 3 they are not.'
    """
    visible = float(visible_from_g)
    light = [line for line in lines if line.mass_g < visible]
    bags = f"A missing bag of {visible_from_g:f} g or more is seen"
    if light:
        named = ", ".join(f"{line.bag_code} ({line.mass_g:.1f} g)" for line in light)
        bags += f", bag{'s' if light[1:] else ''} {named} {'are' if light[1:] else 'is'} not"
    least: dict[int, float] = {}
    for line in lines:
        least[line.line_no] = min(least.get(line.line_no, inf), line.unit_weight_g)
    seen = [number for number, unit_g in sorted(least.items()) if unit_g >= visible]
    unseen = [number for number, unit_g in sorted(least.items()) if unit_g < visible]
    if not seen:
        return f"{bags}; single pieces are not."
    pieces = f"{bags}; single pieces of {_lines(seen)} are seen"
    return f"{pieces}, of {_lines(unseen)} they are not." if unseen else f"{pieces}."


def _lines(numbers: Sequence[int]) -> str:
    return f"line{'s' if len(numbers) > 1 else ''} {', '.join(str(number) for number in numbers)}"
