"""Does an unheeded shift of a scale stay alarmed, and do the unit weights stay right? Invented parts, 25 days.

    python -m tests.benchmarks.weighed.shifted_scale

Each day 150 bags of 60 parts are weighed on one of two scales; from the sixth day on one scale shows 0.05 g too much.
Charts and learning follow the shop's rules, with alarms that stand until acted on, and nobody acts. Coverage is the
share of unit weights within 1.96 of their standard uncertainties; beside it that of a shop whose scales don't shift.
"""

from dataclasses import dataclass

import numpy as np

from fulfil.weighing.learning.drift import drift_alarms
from fulfil.weighing.learning.innovation import innovations
from fulfil.weighing.learning.learning import learn
from fulfil.weighing.learning.prior import LearningPrior

PARTS, DAYS, BAGS, SHIFT_G, SHIFTS_ON = 60, 25, 150, 0.05, 5
NOISE_G = 0.015
SAMPLE = 50


@dataclass
class World:
    """True unit weights, piece s.d.s, samples; and what was weighed: part, pieces, net g, scale, day, learned from."""

    mean: np.ndarray
    sd: np.ndarray
    sample: np.ndarray
    rows: list[tuple[int, int, float, str, int]]
    used: list[bool]


def made(rng: np.random.Generator) -> World:
    """Parts of 0.3 to 5 g, scatter 0.3 to 1 %."""
    mean = np.exp(rng.uniform(np.log(0.3), np.log(5), PARTS))
    sd = mean * rng.uniform(0.003, 0.01, PARTS)
    return World(mean, sd, mean + sd / SAMPLE**0.5 * rng.standard_normal(PARTS), [], [])


def one_day(world: World, day: int, rng: np.random.Generator, shift_g: float) -> None:
    """The day's bags."""
    for _ in range(BAGS):
        part, pieces, scale = int(rng.integers(PARTS)), int(rng.integers(10, 60)), "AB"[int(rng.integers(2))]
        noise = np.hypot(pieces**0.5 * world.sd[part], NOISE_G) * rng.standard_normal()
        shift = shift_g if scale == "B" and day >= SHIFTS_ON else 0.0
        world.rows.append((part, pieces, pieces * world.mean[part] + noise + shift, scale, day))


def out_since(world: World, day: int) -> dict[str, int]:
    """By scale, the row from which the day's chart finds it off."""
    rows = [i for i, row in enumerate(world.rows) if row[4] == day]
    residual, expected, sd = (np.zeros(len(world.rows)) for _ in range(3))
    for part in {world.rows[i][0] for i in rows}:
        mine = [
            i for i, row in enumerate(world.rows) if row[0] == part and (world.used[i] if i < len(world.used) else True)
        ]
        chart = innovations(
            [world.rows[i][1] for i in mine], [world.rows[i][2] for i in mine], [NOISE_G] * len(mine),
            unit_weight_g=float(world.sample[part]), unit_weight_u_g=float(world.sd[part] / SAMPLE**0.5),
            piece_sd_g=float(world.sd[part]),
        )  # fmt: skip
        residual[mine], expected[mine], sd[mine] = chart.residual_g, chart.expected_g, chart.sd_g
    alarms = drift_alarms(
        part_numbers=[f"P{world.rows[i][0]:02d}" for i in rows], lots=[""] * len(rows),
        scales=[world.rows[i][3] for i in rows], bag_types=["BAG"] * len(rows),
        residual_g=residual[rows].tolist(), expected_g=expected[rows].tolist(), sd_g=sd[rows].tolist(),
    )  # fmt: skip
    return {alarm.subject: rows[alarm.since_row] for alarm in alarms if alarm.subject_kind == "scale"}


def coverage(world: World) -> float:
    """The share of unit weights within 1.96 u of the truth, learned from all that is used."""
    rows = [row for row, used in zip(world.rows, world.used, strict=True) if used]
    names = [f"P{p:02d}" for p in range(PARTS)]
    known = learn(
        [*names, *(names[row[0]] for row in rows)], [""] * (PARTS + len(rows)),
        [SAMPLE] * PARTS + [row[1] for row in rows],
        [*(SAMPLE * world.sample).tolist(), *(row[2] for row in rows)], [0.0] * PARTS + [NOISE_G] * len(rows),
        part_priors={n: LearningPrior(piece_sd_relative=float(s / m), piece_sd_df=50.0)
                     for n, s, m in zip(names, world.sd, world.mean, strict=True)},
    )  # fmt: skip
    found = [known.unit_weight(name, "") for name in names]
    return float(np.mean([abs(f.unit_weight_g - m) <= 1.96 * f.unit_weight_u_g
                          for f, m in zip(found, world.mean, strict=True)]))  # fmt: skip


def main(worlds: int = 20) -> None:
    """Prints shifted days without an alarm, shifted weighings that were learned from, and the coverage."""
    for shift_g in (SHIFT_G, 0.0):
        covered, silent, learned = [], 0, 0
        for seed in range(worlds):
            rng = np.random.default_rng(seed)
            world = made(rng)
            alarm: dict[str, int] = {}
            for day in range(DAYS):
                one_day(world, day, rng, shift_g)
                for scale, row in out_since(world, day).items():
                    alarm.setdefault(scale, row)
                fresh = range(len(world.used), len(world.rows))
                world.used += [i < alarm.get(world.rows[i][3], len(world.rows)) for i in fresh]
                silent += day >= SHIFTS_ON and "B" not in alarm
            covered.append(coverage(world))
            shifted = [row[3] == "B" and row[4] >= SHIFTS_ON for row in world.rows]
            learned += sum(off and used for off, used in zip(shifted, world.used, strict=True))
        print(
            f"shift {shift_g} g: no alarm on {silent} of {worlds * (DAYS - SHIFTS_ON)} days from the sixth on; ", end=""
        )
        print(f"{learned / worlds:.1f} weighings since learned from; coverage {np.mean(covered):.1%}")


if __name__ == "__main__":
    main()
