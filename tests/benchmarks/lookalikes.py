"""Time the look-alikes of a day's 600 lines against 10,000 invented parts, and against trying every pair.

Run: python tests/benchmarks/lookalikes.py
"""

from time import perf_counter

import numpy as np
from scipy.special import ndtr

from fulfil.weighing.lookalike import LookAlikeIndex

PARTS, LINES = 10_000, 600


def main() -> None:
    """Print seconds and the ratio to the full search."""
    rng = np.random.default_rng(1)
    mean = np.exp(rng.uniform(np.log(0.02), np.log(50), PARTS))
    sd = mean * np.exp(rng.uniform(np.log(0.001), np.log(0.05), PARTS))
    u = sd / np.sqrt(50)
    families = [f"family {i}" for i in rng.integers(0, 60, PARTS)]
    sizes = [f"size {i}" for i in rng.integers(0, 40, PARTS)]
    finishes = [f"finish {i}" for i in rng.integers(0, 5, PARTS)]
    position = np.column_stack([rng.integers(0, 20, PARTS) * 2000.0, rng.uniform(0, 30_000, PARTS)])
    numbers = [f"P-{i:05d}" for i in range(PARTS)]

    start = perf_counter()
    index = LookAlikeIndex(numbers, mean, u, sd, families, sizes, finishes, position)
    print(f"index of {PARTS} parts: {perf_counter() - start:.3f} s")

    lines = rng.integers(0, PARTS, LINES)
    pieces = np.ceil(np.exp(rng.uniform(0, np.log(300), LINES))).astype(int)
    half = 0.45 * mean[lines]
    noise = np.full(LINES, 0.03)
    for slack in (0, 3):
        start = perf_counter()
        found = index.passing([numbers[i] for i in lines], pieces, half, noise, count_slack=slack)
        indexed_s = perf_counter() - start
        print(f"{LINES} lines, count slack {slack}: {indexed_s:.3f} s, {sum(map(len, found))} look-alikes")
        if slack == 0:
            by_index = indexed_s

    start = perf_counter()
    passing = 0
    for i, line in enumerate(lines):
        gap = pieces[i] * (mean - mean[line])
        spread = np.sqrt(pieces[i] * sd**2 + (pieces[i] * u) ** 2 + noise[i] ** 2)
        chance = ndtr((half[i] - gap) / spread) - ndtr((-half[i] - gap) / spread)
        passing += int(np.count_nonzero(chance > 0.001)) - 1
    every_pair = perf_counter() - start
    print(f"every pair, no sorting, no sentences: {every_pair:.3f} s, {passing} pairs pass")
    print(f"index / every pair: {by_index / every_pair:.2f}")


if __name__ == "__main__":
    main()
