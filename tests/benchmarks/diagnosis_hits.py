"""How often the first explanation is the true one, for mistakes planted in bags of the demo shop's parts.

Bags are drawn from the demo catalogue at counts the scale can resolve; each mistake is equally frequent, so the
table doesn't flatter the common ones. Only bags outside their window are explained.

Run: python tests/benchmarks/diagnosis_hits.py
"""

import csv
from collections import defaultdict
from pathlib import Path
from typing import Any

import numpy as np

from fulfil.weighing.causes.diagnosis import Cause, explain_bag
from fulfil.weighing.lookalike import LookAlikeIndex
from fulfil.weighing.window import count_window, largest_count

BAGS_EACH = 300
TARE_G, TARE_SD_G, INDICATION_U_G, OTHER_TARE_G = 1.85, 0.03, 0.013, 3.1
CAUSES = (
    Cause.ONE_SHORT,
    Cause.ONE_OVER,
    Cause.TWO_SHORT,
    Cause.SEVERAL_SHORT,
    Cause.OTHER_COUNT,
    Cause.LOOK_ALIKE,
    Cause.LABELS_SWAPPED,
    Cause.TARE_FORGOTTEN,
    Cause.OTHER_BAG_TYPE,
    Cause.LOT_SHIFT,
)


def main() -> None:
    """Print, for each planted cause: bags explained, first explanation right, among the first three, cannot tell."""
    path = Path(__file__).parents[2] / "demo_catalog" / "parts.csv"
    with path.open(encoding="utf-8", newline="") as source:
        rows = [row for row in csv.DictReader(source) if row["unit_weight_g"] and int(row["sample_pieces"] or 0) > 1]
    numbers = [row["part"] for row in rows]
    mean = np.array([float(row["unit_weight_g"]) for row in rows])
    sd = np.array([float(row["piece_sd_g"]) for row in rows])
    u = sd / np.sqrt([int(row["sample_pieces"]) for row in rows])
    index = LookAlikeIndex(
        numbers, mean, u, sd, *([row[name] for row in rows] for name in ("family", "size", "finish"))
    )
    largest = largest_count(
        unit_weight_g=mean, unit_weight_u_g=u, piece_sd_g=sd, indication_u_g=INDICATION_U_G, tare_u_g=TARE_SD_G
    )
    able = np.flatnonzero(np.asarray(largest) >= 6)
    rng = np.random.default_rng(8)
    print(f"{len(rows)} parts with a sample, {able.size} of them counted to 6 or more")
    print(f"{'planted':22} {'explained':>9} {'first':>7} {'in 3':>7} {'unsure':>7}")
    for cause in CAUSES:
        tally: dict[str, int] = defaultdict(int)
        for _ in range(BAGS_EACH):
            part = int(rng.choice(able))
            pieces = int(rng.integers(6, min(200, int(largest[part])) + 1))
            others = [(numbers[i], int(rng.integers(1, 100))) for i in rng.choice(able, 6, replace=False)]
            held, count, tare = part, pieces, TARE_G
            if cause is Cause.LOOK_ALIKE:
                family = [i for i in able if rows[i]["family"] == rows[part]["family"] and i != part]
                held = int(rng.choice(family)) if family else int(rng.choice(able))
            elif cause is Cause.LABELS_SWAPPED:
                held, count = index.place(others[0][0]), others[0][1]
            elif cause is Cause.OTHER_COUNT:
                count = others[0][1]
            elif cause is Cause.TARE_FORGOTTEN:
                tare = 2 * TARE_G
            elif cause is Cause.OTHER_BAG_TYPE:
                tare = OTHER_TARE_G
            else:
                count += {Cause.ONE_SHORT: -1, Cause.ONE_OVER: 1, Cause.TWO_SHORT: -2, Cause.SEVERAL_SHORT: -5}.get(
                    cause, 0
                )
            lot = 0.005 * mean[held] * rng.standard_normal() if cause is Cause.LOT_SHIFT else 0.0
            unit = mean[held] + u[held] * rng.standard_normal() + lot
            noise = np.hypot(np.sqrt(count) * sd[held], np.hypot(TARE_SD_G, INDICATION_U_G)) * rng.standard_normal()
            gross = float(max(0.0, count * unit + tare + noise))
            weight: dict[str, Any] = {
                "unit_weight_g": float(mean[part]),
                "unit_weight_u_g": float(u[part]),
                "piece_sd_g": float(sd[part]),
                "indication_u_g": INDICATION_U_G,
                "tare_g": TARE_G,
            }
            window = count_window(pieces, **weight, tare_u_g=TARE_SD_G)
            if window.lower_g <= gross <= window.upper_g:
                continue
            found = explain_bag(
                gross,
                part_number=numbers[part],
                pieces=pieces,
                **weight,
                tare_sd_g=TARE_SD_G,
                other_lines=others,
                other_bag_tares_g=[("other", OTHER_TARE_G)],
                catalogue=index,
            )
            told = [e for e in found if e.cause is not Cause.CANNOT_TELL]
            is_told = [
                e.cause is cause and (cause is not Cause.LOOK_ALIKE or e.subject == numbers[held]) for e in told[:3]
            ]
            tally["explained"] += 1
            tally["first"] += bool(is_told and is_told[0])
            tally["third"] += any(is_told)
            tally["unsure"] += len(told) < len(found)
        n = max(1, tally["explained"])
        print(
            f"{cause.value:22} {tally['explained']:9d} {100 * tally['first'] / n:6.0f}% "
            f"{100 * tally['third'] / n:6.0f}% {100 * tally['unsure'] / n:6.0f}%"
        )


if __name__ == "__main__":
    main()
