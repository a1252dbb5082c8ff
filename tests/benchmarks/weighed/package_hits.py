"""How often a package's first explanation is the true one, for mistakes planted physically.

    python -m tests.benchmarks.weighed.package_hits [cases]

Bags of 1.5 to 400 g (invented, log-normal about 15 g) that were weighed, in boxes that fit them by mass; one thing goes
wrong as often as the shop's priors say (what befalls a bag, once for each bag); the package is weighed on a scale of
d = 1 g. Only packages outside their window of three standard deviations are explained. Prints, for 5, 20 and 60 bags:
how often the missing bag is named first, how often a verdict of 99 % and more is right, and the reliability of all
verdicts by tenths.
"""

import sys

import numpy as np

from fulfil.despatch.pack_causes import WEIGHED_LEAVES
from fulfil.weighing.causes.diagnosis import Cause, PackagePriors, PackedBag, explain_package

BOXES = (("ENV", 15.0, 4.0, 0.3, 0.3), ("BOX-1", 46.0, 12.0, 0.6, 0.7), ("BOX-2", 88.0, 24.0, 1.1, 1.2),
         ("BOX-3", 186.0, 50.0, 2.2, 2.4), ("BOX-4", 325.0, 90.0, 3.6, 4.0))  # fmt: skip
"""Code, tare, cushioning, and the s.d. of both, g: those of the invented shop."""
NEAR = 50
PRIORS = PackagePriors(tare_forgotten=0.0, tare_twice=0.0, lot_shift=0.0)


def rates(bags: int) -> dict[Cause, float]:
    """How often each thing happens to a package of so many bags: what befalls a bag, once for each."""
    return {
        Cause.BAG_MISSING: PRIORS.bag_missing * bags,
        Cause.BAG_DOUBLED: PRIORS.bag_doubled * bags,
        Cause.BAG_SWAPPED: PRIORS.bag_swapped * bags,
        Cause.TWO_BAGS_MISSING: PRIORS.two_bags_missing,
        Cause.OTHER_BOX: PRIORS.other_box,
        Cause.PACKING_DOUBLED: PRIORS.packing_doubled,
        Cause.PACKING_LEFT_OUT: PRIORS.packing_left_out,
        Cause.SOMETHING_ELSE: PRIORS.something_else,
    }


def one_case(bags: int, rng: np.random.Generator) -> tuple[Cause, str, list[tuple[Cause, str, float]]] | None:
    """The planted cause with its bag, and what is said; None where nothing shows."""
    mass = np.clip(np.exp(rng.normal(np.log(15), 1.1, bags)), 1.5, 400).round(2)
    near = np.clip(np.exp(rng.normal(np.log(15), 1.1, NEAR)), 1.5, 400).round(2)
    box = min(int(np.searchsorted([60, 250, 900, 2500], mass.sum())), len(BOXES) - 1)
    _, tare, filling, tare_sd, filling_sd = BOXES[box]
    often = rates(bags)
    cause = list(often)[int(rng.choice(len(often), p=np.array(list(often.values())) / sum(often.values())))]
    hit = int(rng.integers(bags))
    gross = mass.sum() + tare + filling + rng.normal(0, np.hypot(tare_sd, filling_sd)) + rng.normal(0, 0.4)
    if cause is Cause.BAG_MISSING:
        gross -= mass[hit]
    elif cause is Cause.BAG_DOUBLED:
        gross += mass[hit]
    elif cause is Cause.BAG_SWAPPED:
        gross += rng.choice(near) - mass[hit]
    elif cause is Cause.TWO_BAGS_MISSING:
        gross -= mass[hit] + mass[(hit + 1) % bags]
    elif cause is Cause.OTHER_BOX:
        other = BOXES[box + 1 if box + 1 < len(BOXES) else box - 1]
        gross += other[1] + other[2] - tare - filling
    elif cause is Cause.PACKING_DOUBLED:
        gross += filling * rng.normal(1, 0.2)
    elif cause is Cause.PACKING_LEFT_OUT:
        gross -= filling
    else:
        gross += np.exp(rng.normal(np.log(20), 1))
    shown = float(np.rint(gross))
    u = np.hypot(0.4, 1 / np.sqrt(12))
    sd = np.sqrt(tare_sd**2 + filling_sd**2 + u**2)
    if abs(shown - mass.sum() - tare - filling) < 3 * sd:
        return None
    packed = [PackedBag(f"B{i}", f"P{i}", 10, (m - 0.6) / 10, 0.0, 0.0, 0.6, 0.02, WEIGHED_LEAVES)
              for i, m in enumerate(mass.tolist())]  # fmt: skip
    found = explain_package(
        shown, packed, packing_g=tare + filling, packing_sd_g=float(np.hypot(tare_sd, filling_sd)),
        indication_u_g=float(u), filling_g=filling, near_bags=[(f"N{i}", g) for i, g in enumerate(near.tolist())],
        other_boxes_g=[(b[0], b[1] + b[2]) for i, b in enumerate(BOXES) if i != box], priors=PRIORS,
    )  # fmt: skip
    return cause, f"B{hit}", [(e.cause, e.subject, e.probability) for e in found if e.cause is not Cause.CANNOT_TELL]


def main(cases: int) -> None:
    """Print the table."""
    for bags in (5, 20, 60):
        rng = np.random.default_rng(bags)
        sure = sure_right = missing = first = shown = 0
        tenths = np.zeros((10, 2))
        for _ in range(cases):
            case = one_case(bags, rng)
            if case is None:
                continue
            shown += 1
            cause, code, said = case
            named, subject, probability = said[0]
            # Which bag it was counts where the cause befalls a bag.
            of_bag = cause in (Cause.BAG_MISSING, Cause.BAG_DOUBLED, Cause.BAG_SWAPPED)
            is_right = named is cause and (not of_bag or subject in ("", code))
            tenths[min(9, int(10 * probability))] += (1, is_right)
            if probability >= 0.99:
                sure, sure_right = sure + 1, sure_right + is_right
            if cause is Cause.BAG_MISSING:
                # The first that names a bag; "some bag may be swapped" names none.
                bag = next((one for what, one, _ in said if one and what is not Cause.OTHER_BOX), "")
                missing, first = missing + 1, first + (bag == code)
        print(f"{bags} bags: {shown} of {cases} show; missing bag named first {first / missing:.0%} of {missing}; "
              f"verdicts of 99 % and more: {sure_right / max(1, sure):.1%} of {sure} right")  # fmt: skip
        print("  said / right: " + ", ".join(f"{i / 10:.1f}+ {right / n:.2f} ({n:.0f})" for i, (n, right)
                                             in enumerate(tenths) if n))  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
