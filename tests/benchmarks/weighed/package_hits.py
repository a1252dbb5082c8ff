"""How often a package's first explanation is the true one, for mistakes planted physically.

    python -m tests.benchmarks.weighed.package_hits [cases]

Bags of 1.5 to 400 g (invented, log-normal about 15 g) that were weighed, in boxes that fit them by mass; one thing goes
wrong as often as the shop's priors say (what befalls a bag, once for each bag). Three ways to weigh the package: the
box as the shop's file has it, on a scale of d = 1 g; its empty box weighed first on that scale; and its empty box
weighed first on one of d = 0.01 g. An empty box of another kind, or with twice or no cushioning, is then judged before
it is packed (nine in ten of those happen before, as the diagnosis takes it). Only packages outside their window of
three standard deviations are explained. Prints, for each way and for 5, 20 and 60 bags: how often the missing bag is
named first, how often a verdict of 99 % and more is right, and the reliability of all verdicts by tenths.
"""

import sys
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from fulfil.checking.empty_box import KnownBox, judge_empty
from fulfil.despatch.boxes import AFTER_EMPTY_SD_G
from fulfil.despatch.pack_causes import BOX_WEIGHED_LEAVES, WEIGHED_LEAVES, priors_for
from fulfil.weighing.causes.diagnosis import Cause, PackagePriors, PackedBag, explain_package

BOXES = (KnownBox("ENV", Decimal(15), 0.3, Decimal(4), 0.3), KnownBox("BOX-1", Decimal(46), 0.6, Decimal(12), 0.7),
         KnownBox("BOX-2", Decimal(88), 1.1, Decimal(24), 1.2), KnownBox("BOX-3", Decimal(186), 2.2, Decimal(50), 2.4),
         KnownBox("BOX-4", Decimal(325), 3.6, Decimal(90), 4.0))  # fmt: skip
"""Those of the invented shop."""
NEAR = 50
RISK_REJECT = 0.005


@dataclass(frozen=True)
class Way:
    """How a package is weighed: the scale's interval and repeatability in g, and whether its empty box is first."""

    name: str
    d_g: float
    repeats_g: float
    empty_first: bool

    def shown(self, mass_g: float, rng: np.random.Generator) -> float:
        """One indication."""
        return float(np.rint((mass_g + rng.normal(0, self.repeats_g)) / self.d_g) * self.d_g)

    @property
    def u_g(self) -> float:
        """Its standard uncertainty."""
        return float(np.hypot(self.repeats_g, self.d_g / np.sqrt(12)))


WAYS = (Way("box from the file, d = 1 g", 1.0, 0.4, empty_first=False),
        Way("empty box first, d = 1 g", 1.0, 0.4, empty_first=True),
        Way("empty box first, d = 0.01 g", 0.01, 0.012, empty_first=True))  # fmt: skip


@dataclass(frozen=True)
class Case:
    """What happened, to which bag, and what is said: (cause, subject, probability), likeliest first."""

    cause: Cause
    bag: str
    said: tuple[tuple[Cause, str, float], ...]

    @property
    def is_right(self) -> bool:
        """Whether the first is true; which bag it was counts where the cause befalls a bag."""
        named, subject, _ = self.said[0]
        of_bag = self.cause in (Cause.BAG_MISSING, Cause.BAG_DOUBLED, Cause.BAG_SWAPPED)
        return named is self.cause and (not of_bag or subject in ("", self.bag))

    @property
    def first_bag(self) -> str:
        """The first bag that is named; "some bag may be swapped" names none."""
        return next((one for what, one, _ in self.said if one and what is not Cause.OTHER_BOX), "")


def rates(bags: int, priors: PackagePriors) -> dict[Cause, float]:
    """How often each thing happens to a package of so many bags: what befalls a bag, once for each."""
    return {
        Cause.BAG_MISSING: priors.bag_missing * bags,
        Cause.BAG_DOUBLED: priors.bag_doubled * bags,
        Cause.BAG_SWAPPED: priors.bag_swapped * bags,
        Cause.TWO_BAGS_MISSING: priors.two_bags_missing,
        Cause.OTHER_BOX: priors.other_box,
        Cause.PACKING_DOUBLED: priors.packing_doubled,
        Cause.PACKING_LEFT_OUT: priors.packing_left_out,
        Cause.SOMETHING_ELSE: priors.something_else,
    }


def one_case(bags: int, way: Way, rng: np.random.Generator) -> Case | None:
    """A mistake and what is said of it; None where nothing shows, or where the empty box showed it before."""
    mass = np.clip(np.exp(rng.normal(np.log(15), 1.1, bags)), 1.5, 400).round(2)
    near = np.clip(np.exp(rng.normal(np.log(15), 1.1, NEAR)), 1.5, 400).round(2)
    place = min(int(np.searchsorted([60, 250, 900, 2500], mass.sum())), len(BOXES) - 1)
    box = BOXES[place]
    filling = float(box.cushioning_g)
    often = rates(bags, priors_for(is_weighed_empty=False, all_weighed=True))
    cause = list(often)[int(rng.choice(len(often), p=np.array(list(often.values())) / sum(often.values())))]
    hit = int(rng.integers(bags))
    taken = BOXES[place + 1 if place + 1 < len(BOXES) else place - 1] if cause is Cause.OTHER_BOX else box
    empty = taken.mass_g(1) + rng.normal(0, taken.tare_sd_g) + rng.normal(0, taken.cushioning_sd_g)
    filled = {Cause.PACKING_DOUBLED: filling * rng.normal(1, 0.2), Cause.PACKING_LEFT_OUT: -filling}.get(cause, 0.0)
    is_after = rng.random() < BOX_WEIGHED_LEAVES
    if not is_after:
        empty += filled
    packing_g, packing_u_g = box.mass_g(1), box.sd_g(1)
    if way.empty_first:
        packing_g, packing_u_g = way.shown(empty, rng), float(np.hypot(way.u_g, AFTER_EMPTY_SD_G))
        reading = Decimal(repr(round(packing_g, 2)))
        if not judge_empty(reading, box, BOXES, indication_u_g=way.u_g, risk_reject=RISK_REJECT).fits:
            return None
        empty += rng.normal(0, AFTER_EMPTY_SD_G)
    gross = mass.sum() + empty + (filled if is_after else 0.0)
    if cause is Cause.BAG_MISSING:
        gross -= mass[hit]
    elif cause is Cause.BAG_DOUBLED:
        gross += mass[hit]
    elif cause is Cause.BAG_SWAPPED:
        gross += rng.choice(near) - mass[hit]
    elif cause is Cause.TWO_BAGS_MISSING:
        gross -= mass[hit] + mass[(hit + 1) % bags]
    elif cause is Cause.SOMETHING_ELSE:
        gross += np.exp(rng.normal(np.log(20), 1))
    shown = way.shown(gross, rng)
    if abs(shown - mass.sum() - packing_g) < 3 * np.sqrt(packing_u_g**2 + way.u_g**2 + bags * 0.02**2):
        return None
    packed = [PackedBag(f"B{i}", f"P{i}", 10, (m - 0.6) / 10, 0.0, 0.0, 0.6, 0.02, WEIGHED_LEAVES)
              for i, m in enumerate(mass.tolist())]  # fmt: skip
    found = explain_package(
        shown, packed, packing_g=packing_g, packing_sd_g=packing_u_g, indication_u_g=way.u_g, filling_g=filling,
        near_bags=[(f"N{i}", g) for i, g in enumerate(near.tolist())],
        other_boxes_g=[] if way.empty_first else [(one.code, one.mass_g(1)) for one in BOXES if one is not box],
        priors=priors_for(is_weighed_empty=way.empty_first, all_weighed=True),
    )  # fmt: skip
    said = tuple((e.cause, e.subject, e.probability) for e in found if e.cause is not Cause.CANNOT_TELL)
    return Case(cause, f"B{hit}", said)


def main(cases: int) -> None:
    """Print the table."""
    for way in WAYS:
        print(way.name)
        all_sure: list[bool] = []
        for bags in (5, 20, 60):
            rng = np.random.default_rng(bags)
            shown = [case for case in (one_case(bags, way, rng) for _ in range(cases)) if case is not None]
            missing = [case.first_bag == case.bag for case in shown if case.cause is Cause.BAG_MISSING]
            sure = [case.is_right for case in shown if case.said[0][2] >= 0.99]
            all_sure += sure
            print(f"  {bags} bags: {len(shown)} of {cases} show; missing bag named first {np.mean(missing):.1%} of "
                  f"{len(missing)}; verdicts of 99 % and more: {sum(sure)} of {len(sure)} right")  # fmt: skip
            tenth = np.array([min(9, int(10 * case.said[0][2])) for case in shown])
            right = np.array([case.is_right for case in shown])
            told = [f"{i / 10:.1f}+ {right[tenth == i].mean():.2f} ({(tenth == i).sum()})"
                    for i in range(10) if (tenth == i).any()]  # fmt: skip
            print(f"    said / right: {', '.join(told)}")
        print(f"  verdicts of 99 % and more in all: {sum(all_sure)} of {len(all_sure)} right")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
