"""How fast are windows, largest counts and counting plans? ``python tests/benchmarks/windows.py``.

Each time is processor time, the best of fifteen runs.
The reference in the same run is the plain way with ``scipy.stats.norm``: the
half width z·s, three pairs of distribution functions, and the closed form of the largest count, for 10,000 parts.
Budget: windows and largest counts of 10,000 parts in 20 ms; one counting plan in about 50 µs.
"""

from collections.abc import Callable
from decimal import Decimal
from time import process_time
from timeit import repeat
from typing import Any

import numpy as np
from scipy.stats import norm

from fulfil.weighing.scale import Scale
from fulfil.weighing.split import counting_plan
from fulfil.weighing.unit_weight import from_group
from fulfil.weighing.window import count_window, largest_count

PARTS = 10_000


def best_s(work: Callable[[], object], times: int) -> float:
    """Processor seconds of one call, the best of fifteen runs."""
    return min(repeat(work, number=times, repeat=15, timer=process_time)) / times


def catalogue(rng: np.random.Generator) -> dict[str, Any]:
    """Invented parts from 0.05 to 50 g, c 0.1 to 5 %, samples of 5 to 200."""
    unit = np.exp(rng.normal(0, 1.2, PARTS))
    piece_sd = unit * rng.uniform(0.001, 0.05, PARTS)
    return {
        "unit_weight_g": unit,
        "unit_weight_u_g": piece_sd / np.sqrt(rng.integers(5, 200, PARTS)),
        "piece_sd_g": piece_sd,
        "indication_u_g": 0.03,
        "tare_g": 2.1,
        "tare_u_g": 0.02,
    }


def plainly(pieces: np.ndarray, part: dict[str, np.ndarray | float]) -> None:
    """The reference: no exact neighbours, no rule for what can't be resolved."""
    fixed = part["indication_u_g"] ** 2 + part["tare_u_g"] ** 2
    spread = np.sqrt(pieces * part["piece_sd_g"] ** 2 + (pieces * part["unit_weight_u_g"]) ** 2 + fixed)
    half = norm.isf(0.0025) * spread
    for offset in (-1, 0, 1):
        deviation = norm(offset * part["unit_weight_g"], spread)
        deviation.cdf(half) - deviation.cdf(-half)
    room = (part["unit_weight_g"] / (norm.isf(0.0025) + norm.isf(0.001))) ** 2 - fixed
    scatter = part["piece_sd_g"] ** 2
    np.floor((np.sqrt(scatter**2 + 4 * part["unit_weight_u_g"] ** 2 * np.maximum(room, 0)) - scatter) / 2)


def main() -> None:
    """Print the times."""
    rng = np.random.default_rng(8)
    part, pieces = catalogue(rng), rng.integers(1, 400, PARTS)
    reference = best_s(lambda: plainly(pieces, part), 5)
    for name, work in (
        ("windows of 10,000 parts", lambda: count_window(pieces, **part)),
        ("largest counts of 10,000 parts", lambda: largest_count(**part)),
        ("… for a display of 0.1 g", lambda: count_window(pieces, **part, d_g=0.1)),
        ("… and the largest counts on it", lambda: largest_count(**part, d_g=0.1)),
    ):
        seconds = best_s(work, 5)
        print(f"{name:32} {1e3 * seconds:7.2f} ms   {seconds / reference:5.2f} × the plain way")
    bench = Scale("III", Decimal("0.1"), Decimal("0.1"), Decimal(3000), repeatability_g=0.02)
    screws = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)
    for count in (50, 95, 150, 300, 400):
        plan = counting_plan(count, screws, bench, tare_g=2.1, tare_u_g=0.02)
        seconds = best_s(lambda count=count: counting_plan(count, screws, bench, tare_g=2.1, tare_u_g=0.02), 200)
        print(f"plan of {count:4} pieces: {plan.method:16} {1e6 * seconds:7.1f} µs")


if __name__ == "__main__":
    main()
