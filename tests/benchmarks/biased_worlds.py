"""Do the printed risks hold where what is taken as given is wrong? ``python -m tests.benchmarks.biased_worlds``.

Lines of invented parts on two invented scales are planned as the shop plans them; every bag then holds one piece too
few or too many in a world of its own: a scale with a constant error of a share of the error permitted in service, bags
of a delivery that is one s.d. heavier or lighter, a piece s.d. that is larger than the file says. The chance that such
a bag passes is worked out exactly for each bag, averaged over the sign of the error and what the true unit weight may
be, and held against the printed one: the ratio of the two sums, over all bags whose printed risk is above 1e-6.

The same lines on the tared scale, whole or in equal pours: there the bag is out of it, each pour is the difference of
two indications, and the error permitted is that of the net value (OIML R 76-1:2006, 3.5.3.3; quoted from memory).

DEVELOPERS.md has the result.
"""

import sys
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from scipy.special import ndtr

from fulfil.counting.count_lines import BIAS_SHARE, bag_tare_u_g, scale_of
from fulfil.counting.lot_weights import estimate_of
from fulfil.counting.scale_room import CHECKED_SHARE
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.weighing.pours import CountedPours, counted_pours
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import CountedBag, counted_bags

SCALES = (
    ScaleRecord(code="FINE", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.001"), max_g=Decimal(220),
                min_g=Decimal("0.2"), repeatability_g=0.0015),
    ScaleRecord(code="BENCH", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.01"), max_g=Decimal(3000),
                min_g=Decimal(5), repeatability_g=0.012),
)  # fmt: skip
BAG = BagType(code="BAG", width_mm=100, height_mm=150, usable_volume_mm3=204_000, tare_g=Decimal("1.85"),
              tare_sd_g=0.03, max_load_g=Decimal(500))  # fmt: skip


@dataclass(frozen=True)
class Weighed:
    """A planned bag with what it was planned from."""

    record: UnitWeight
    scale: Scale
    bag: CountedBag


@dataclass(frozen=True)
class Poured:
    """A bag on the tared scale, whole or in pours, with what it was planned from."""

    record: UnitWeight
    scale: Scale
    bag: CountedPours


@dataclass(frozen=True)
class World:
    """What is wrong: bias as a share of the permitted error, bags off in s.d., the true piece s.d. by the given one."""

    name: str
    bias_share: float = 0.0
    bag_shift_sd: float = 0.0
    sd_factor: float = 1.0


WORLDS = (
    World("nothing is wrong"),
    World("scale off by a quarter of the permitted error", bias_share=0.25),
    World("scale off by half of it", bias_share=0.5),
    World("scale off by all of it", bias_share=1.0),
    World("bags 1 s.d. heavier or lighter", bag_shift_sd=1.0),
    World("piece s.d. 1.1 × the given", sd_factor=1.1),
    World("piece s.d. 1.25 × the given", sd_factor=1.25),
    World("piece s.d. 1.5 × the given", sd_factor=1.5),
    World("half the permitted error and bags 1 s.d. off", bias_share=0.5, bag_shift_sd=1.0),
)


def planned(
    lines: int, rng: np.random.Generator, *, bias_share: float = BIAS_SHARE, is_light: bool = False
) -> list[Weighed]:
    """Lines of 5 to 300 pieces, parts of 0.05 to 20 g, c 0.2 to 3 %, samples of 20 to 200; those that are weighed.

    With ``is_light`` parts of 0.03 to 0.8 g and c 0.1 to 0.4 %, samples of 200 to 500: there the scale is what limits.
    """
    found = []
    for _ in range(lines):
        mean_g, c, n = float(np.exp(rng.uniform(-3, 3))), float(rng.uniform(0.002, 0.03)), int(rng.integers(20, 201))
        if is_light:
            mean_g, c, n = float(np.exp(rng.uniform(-3.5, -0.2))), c / 7.5, int(rng.integers(200, 501))
        record = UnitWeight(part_number="P", mean_g=mean_g, u_g=c * mean_g / n**0.5, piece_sd_g=c * mean_g,
                            sample_pieces=n, source=WeightSource.SAMPLED)  # fmt: skip
        pieces = int(rng.integers(5, 301))
        for plate in SCALES[::-1]:
            scale = scale_of(plate, bias_share)
            bags = counted_bags([pieces], estimate_of(record), scale, tare_g=1.85, tare_u_g=bag_tare_u_g(BAG))
            if bags:
                found += [Weighed(record, scale, bag) for bag in bags]
                break
    return found


def passes(one: Weighed, world: World, offset: int, rng: np.random.Generator, draws: int) -> float:
    """The chance that the bag with ``offset`` pieces too many passes in the world; over draws of the rest."""
    record, scale, bag = one.record, one.scale, one.bag
    n, half_d = bag.pieces + offset, float(scale.d_g) / 2
    load_g = bag.pieces * record.mean_g + 1.85
    permitted = float(scale.permissible_error_g(Decimal(round(load_g, 4))))
    sign = np.where(np.arange(draws) % 2, 1.0, -1.0)
    shift = sign * world.bias_share * permitted + rng.choice([-1.0, 1.0], draws) * world.bag_shift_sd * BAG.tare_sd_g
    sd = record.piece_sd_g * world.sd_factor
    unit = record.mean_g + rng.normal(0, sd / record.sample_pieces**0.5, draws)
    spread = np.sqrt(n * sd**2 + BAG.tare_sd_g**2 + scale.repeatability_g**2)
    centre = n * unit + 1.85 + shift
    # Exact in what is independent from bag to bag; the display rounds.
    return float(np.mean(ndtr((float(bag.upper_g) + half_d - centre) / spread)
                         - ndtr((float(bag.lower_g) - half_d - centre) / spread)))  # fmt: skip


def poured(lines: int, rng: np.random.Generator, *, bias_share: float) -> list[Poured]:
    """Such lines on the tared scale, the coarser one first; those that are counted there."""
    found = []
    for _ in range(lines):
        mean_g, c, n = float(np.exp(rng.uniform(-3, 3))), float(rng.uniform(0.002, 0.03)), int(rng.integers(20, 201))
        record = UnitWeight(part_number="P", mean_g=mean_g, u_g=c * mean_g / n**0.5, piece_sd_g=c * mean_g,
                            sample_pieces=n, source=WeightSource.SAMPLED)  # fmt: skip
        pieces = int(rng.integers(5, 301))
        for plate in SCALES[::-1]:
            scale = scale_of(plate, bias_share)
            bag = counted_pours(pieces, estimate_of(record), scale, tare_g=1.85)
            if bag is not None:
                found.append(Poured(record, scale, bag))
                break
    return found


def pour_passes(one: Poured, world: World, offset: int, rng: np.random.Generator, draws: int) -> float:
    """The chance that a pour with ``offset`` pieces too many passes in the world."""
    record, scale, each = one.record, one.scale, one.bag.each
    n, half_d = each.pieces + offset, float(scale.d_g) / 2
    permitted = float(scale.permissible_error_g(Decimal(round(each.target_g, 4))))
    shift = np.where(np.arange(draws) % 2, 1.0, -1.0) * world.bias_share * permitted
    sd = record.piece_sd_g * world.sd_factor
    unit = record.mean_g + rng.normal(0, sd / record.sample_pieces**0.5, draws)
    # The tare's reading is rounded too; the last rounding is in the limits.
    spread = np.sqrt(n * sd**2 + 2 * scale.repeatability_g**2 + float(scale.d_g) ** 2 / 12)
    centre = n * unit + shift
    return float(np.mean(ndtr((float(each.upper_g) + half_d - centre) / spread)
                         - ndtr((float(each.lower_g) - half_d - centre) / spread)))  # fmt: skip


def pour_ratio(bags: list[Poured], world: World, rng: np.random.Generator, draws: int = 400) -> float:
    """Mean chance that a wrong pour passes over the printed one of a pour."""
    happens = printed = 0.0
    for one in bags:
        risks = one.bag.each.risks
        for offset, stated in ((-1, risks.p_pass_one_short), (1, risks.p_pass_one_over)):
            if stated > 1e-6:
                happens += pour_passes(one, world, offset, rng, draws)
                printed += float(stated)
    return happens / printed


def ratio(bags: list[Weighed], world: World, rng: np.random.Generator, draws: int = 400) -> tuple[float, float]:
    """Mean chance that a wrong bag passes over the printed one; and the chance itself."""
    happens = printed = 0.0
    for one in bags:
        for offset, stated in ((-1, one.bag.risks.p_pass_one_short), (1, one.bag.risks.p_pass_one_over)):
            if stated > 1e-6:
                happens += passes(one, world, offset, rng, draws)
                printed += float(stated)
    return happens / printed, happens / (2 * len(bags))


def main(lines: int) -> None:
    """Print the table: windows that allow for no bias, for the least of a checked scale, and as the shop makes them."""
    for title, share in (
        ("windows without the bias term", 0.0),
        ("windows after a check of the day that found little", CHECKED_SHARE),
        ("windows without a check", BIAS_SHARE),
    ):
        rng = np.random.default_rng(15)
        tared = poured(lines, np.random.default_rng(16), bias_share=share)
        of_all = planned(lines, rng, bias_share=share), planned(lines, rng, bias_share=share, is_light=True)
        print(f"{title}: {len(of_all[0])} of {lines} lines weighed in one bag; of light, even parts {len(of_all[1])}; "
              f"on the tared scale {len(tared)}")  # fmt: skip
        for world in WORLDS:
            (found, _), (light, chance) = (ratio(bags, world, rng) for bags in of_all)
            print(f"  {world.name:48} {found:6.2f} × the printed; light parts {light:7.2f} ×, {chance:8.1e} pass; "
                  f"tared {pour_ratio(tared, world, rng):6.2f} ×")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
