"""Do a package's printed risks hold with its empty box weighed first?

    python -m tests.benchmarks.weighed.empty_box_worlds [packages]

Packages of 1 to 60 weighed bags (invented) in boxes of the invented shop, in worlds in which something that is taken
as given is wrong: the scale's zero or its span off by half or all of the error permitted in service, boxes or
cushioning that scatter twice as much as the file says, a closing strip that was not in the empty box. Each package is
drawn piece by piece: box, cushioning, what comes and goes before the last weighing, both indications with their
rounding. Printed is how often a right package is sent back and how often one lacking a bag of just the mass that is
said to be seen passes, by the shop's two risks; for the box from the file and the empty box first.
"""

import sys
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from fulfil.checking.package import expect_package
from fulfil.despatch.boxes import AFTER_EMPTY_SD_G
from tests.benchmarks.weighed.package_hits import BOXES, WAYS, Way

RISK_PASS, RISK_REJECT = 0.001, 0.005
MPE_G = {1.0: 2.0, 0.01: 0.2}
"""The error permitted in service at a package's load, by d: class III, e = 1 g; class II, e = 0.1 g (R 76-1, 3.5)."""


@dataclass(frozen=True)
class World:
    """What is wrong: zero and span as shares of the permitted error, scatter by the file's, a strip's mass in g."""

    name: str
    zero_share: float = 0.0
    span_share: float = 0.0
    scatter: float = 1.0
    strip_g: float = 0.0


WORLDS = (
    World("nothing is wrong"),
    World("zero off by half the permitted error", zero_share=0.5),
    World("zero off by all of it", zero_share=1.0),
    World("span off by half of it at 2 kg", span_share=0.5),
    World("boxes and cushioning scatter twice as much", scatter=2.0),
    World("strip of 1.2 g not in the empty box", strip_g=1.2),
)


@dataclass(frozen=True)
class Rates:
    """Shares of packages; ``packages`` were drawn for each."""

    sent_back: float
    passes: float
    packages: int


def rates(world: World, way: Way, packages: int, rng: np.random.Generator) -> Rates:
    """Right packages sent back, and packages lacking a bag of the mass that is just seen that pass."""
    sent_back = passes = 0
    for bags in _sizes(packages, rng):
        mass = np.clip(np.exp(rng.normal(np.log(15), 1.1, bags)), 1.5, 400)
        shown = mass + rng.normal(0, 0.02, bags)
        box = BOXES[min(int(np.searchsorted([60, 250, 900, 2500], mass.sum())), len(BOXES) - 1)]
        off = rng.choice([-1, 1])
        zero_g = off * world.zero_share * MPE_G[way.d_g]
        span = off * world.span_share * MPE_G[way.d_g] / 2000
        empty = box.mass_g(1) + world.scatter * rng.normal(0, box.sd_g(1))
        packing_g, packing_u_g = box.mass_g(1), box.sd_g(1)
        if way.empty_first:
            packing_g = way.shown(empty * (1 + span) + zero_g, rng)
            packing_u_g = float(np.hypot(way.u_g, AFTER_EMPTY_SD_G))
            empty += rng.normal(0, AFTER_EMPTY_SD_G) + world.strip_g
        window = expect_package(
            [(Decimal(repr(round(float(one), 2))), 0.02) for one in shown],
            box_tare_g=Decimal(repr(round(packing_g, 2))), box_tare_sd_g=packing_u_g, indication_u_g=way.u_g,
            d_g=Decimal(repr(way.d_g)).normalize(), risk_pass=RISK_PASS, risk_reject=RISK_REJECT,
        )  # fmt: skip
        for lacking in (0.0, float(window.visible_from_g)):
            load = mass.sum() + empty - lacking
            reading = way.shown(load * (1 + span) + zero_g, rng)
            is_in = float(window.lower_g) - 1e-9 <= reading <= float(window.upper_g) + 1e-9
            if lacking:
                passes += is_in
            else:
                sent_back += not is_in
    return Rates(sent_back / packages, passes / packages, packages)


def _sizes(packages: int, rng: np.random.Generator) -> Iterator[int]:
    return iter(rng.choice([1, 3, 5, 10, 20, 60], packages, p=[0.2, 0.25, 0.25, 0.15, 0.1, 0.05]).tolist())


def main(packages: int) -> None:
    """Print the table."""
    print(f"risks: {RISK_REJECT:.1%} sent back, {RISK_PASS:.1%} passes; {packages} packages each")
    for way in WAYS:
        print(way.name)
        for world in WORLDS:
            found = rates(world, way, packages, np.random.default_rng(15))
            print(f"  {world.name:45} sent back {found.sent_back:7.3%}  one that lacks it passes {found.passes:7.3%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 20_000)
