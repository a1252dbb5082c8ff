"""Time the diagnosis of a package of 20 bags and of a bag, against 10,000 invented parts.

Run: python tests/benchmarks/diagnosis.py
"""

from collections.abc import Callable
from time import perf_counter

import numpy as np

from fulfil.weighing.causes.diagnosis import PackedBag, explain_bag, explain_package
from fulfil.weighing.lookalike import LookAlikeIndex

PARTS, BAGS, TIMES = 10_000, 20, 50


def _ms(call: Callable[[], None]) -> str:
    times = []
    for _ in range(TIMES):
        start = perf_counter()
        call()
        times.append(1000 * (perf_counter() - start))
    return f"{np.median(times):.2f} ms (best {min(times):.2f})"


def main() -> None:
    """Print median and best of 50 calls."""
    rng = np.random.default_rng(2)
    mean = np.exp(rng.uniform(np.log(0.02), np.log(50), PARTS))
    sd = mean * np.exp(rng.uniform(np.log(0.001), np.log(0.05), PARTS))
    u = sd / np.sqrt(50)
    numbers = [f"P-{i:05d}" for i in range(PARTS)]
    family, size, finish = (
        [f"{what} {i}" for i in rng.integers(0, 50, PARTS)] for what in ("family", "size", "finish")
    )
    position = np.column_stack([rng.integers(0, 20, PARTS) * 2000.0, rng.uniform(0, 30_000, PARTS)])
    index = LookAlikeIndex(numbers, mean, u, sd, family, size, finish, position)
    rows = rng.integers(0, PARTS, BAGS)
    bags = tuple(
        PackedBag(f"B-{k}", numbers[i], int(rng.integers(1, 200)), mean[i], u[i], sd[i], 2.1, 0.05)
        for k, i in enumerate(rows)
    )
    gross = sum(bag.pieces * bag.unit_weight_g + bag.tare_g for bag in bags) + 120.0

    def package(catalogue: LookAlikeIndex | None) -> None:
        explain_package(
            gross - bags[3].unit_weight_g, bags, packing_g=120.0, packing_sd_g=0.5, indication_u_g=0.3,
            filling_g=8.0, catalogue=catalogue,
        )  # fmt: skip

    def one_bag() -> None:
        bag = bags[0]
        explain_bag(
            bag.pieces * bag.unit_weight_g + 0.7 * bag.unit_weight_g, part_number=bag.part_number, pieces=bag.pieces,
            unit_weight_g=bag.unit_weight_g, unit_weight_u_g=bag.unit_weight_u_g, piece_sd_g=bag.piece_sd_g,
            indication_u_g=0.03, tare_g=2.1, tare_sd_g=0.05, catalogue=index,
            other_lines=[(b.part_number, b.pieces) for b in bags], other_bag_tares_g=[("M", 3.0), ("L", 4.5)],
        )  # fmt: skip

    print(f"package of {BAGS} bags, no catalogue: {_ms(lambda: package(None))}")
    print(f"package of {BAGS} bags against {PARTS} parts: {_ms(lambda: package(index))}")
    print(f"bag against {PARTS} parts: {_ms(one_bag)}")


if __name__ == "__main__":
    main()
