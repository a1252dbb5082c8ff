"""Time learning from 100,000 invented weighings, and against one plain pass of grouped means.

Run: python tests/benchmarks/learning.py
"""

from time import perf_counter

import numpy as np
import pandas as pd

from fulfil.weighing.learning.learning import learn

ROWS = 100_000


def main() -> None:
    """Print seconds for several shapes of the journal."""
    rng = np.random.default_rng(3)
    for parts, lots_each in ((10_000, 3), (1_000, 5), (100, 10), (1, 20)):
        mean = np.exp(rng.uniform(np.log(0.02), np.log(50), parts))
        part = rng.integers(0, parts, ROWS)
        lot = rng.integers(0, lots_each, ROWS)
        lot_mean = mean[:, None] * (1 + 0.005 * rng.standard_normal((parts, lots_each)))
        pieces = np.ceil(np.exp(rng.uniform(0, np.log(300), ROWS)))
        net = pieces * lot_mean[part, lot] + np.sqrt(pieces) * 0.01 * mean[part] * rng.standard_normal(ROWS)
        net = np.maximum(net + 0.03 * rng.standard_normal(ROWS), 0.001)
        numbers = [f"P-{i:05d}" for i in part]
        lots = [f"L-{i}" for i in lot]

        start = perf_counter()
        learned = learn(numbers, lots, pieces, net, 0.03)
        complete_s = perf_counter() - start
        start = perf_counter()
        learn(numbers, lots, pieces, net, 0.03, window_centre_g=pieces * mean[part], window_half_width_g=0.5 * pieces)
        truncated_s = perf_counter() - start
        start = perf_counter()
        pd.DataFrame({"part": numbers, "lot": lots, "w": net / pieces}).groupby(["part", "lot"])["w"].agg(
            ["mean", "std"]
        )
        means_s = perf_counter() - start
        off = np.median(np.abs(learned.mean_g / mean[np.unique(part)] - 1))
        print(
            f"{parts} parts, {len(learned.lots)} lots: {complete_s:.2f} s; with windows {truncated_s:.2f} s; "
            f"grouped means {means_s:.2f} s (ratio {complete_s / means_s:.0f}); median error {100 * off:.2f} %"
        )


if __name__ == "__main__":
    main()
