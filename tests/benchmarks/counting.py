"""How long the day takes to plan counts, learn and chart: 600 lines, and a year of one part's bags.

Run it: ``python tests/benchmarks/counting.py``. The reference in the same run is one window for each line.
"""

from decimal import Decimal
from time import perf_counter

import numpy as np

from fulfil.counting.count_lines import bench_of, count_line
from fulfil.counting.lot_weights import weight_for_lot
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.settings import Settings
from fulfil.weighing.learning.innovation import innovations
from fulfil.weighing.window import count_window

SCALES = [
    ScaleRecord(code="FINE", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.001"), max_g=Decimal(220),
                min_g=Decimal("0.2"), repeatability_g=0.0015),
    ScaleRecord(code="BENCH", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.01"), max_g=Decimal(3000),
                min_g=Decimal(5), repeatability_g=0.012),
]  # fmt: skip
BAGS = [
    BagType(code="SMALL", width_mm=60, height_mm=80, usable_volume_mm3=37_500, tare_g=Decimal("0.62"), tare_sd_g=0.008,
            max_load_g=Decimal(120)),
    BagType(code="LARGE", width_mm=100, height_mm=150, usable_volume_mm3=204_000, tare_g=Decimal("1.85"),
            tare_sd_g=0.03, max_load_g=Decimal(500)),
]  # fmt: skip
LINES = 600


def main() -> None:
    """Prints seconds for 600 lines, beside the reference."""
    rng = np.random.default_rng(20260302)
    masses = 10 ** rng.uniform(-1.5, 1.3, LINES)
    scatters = rng.choice([0.002, 0.005, 0.01, 0.02, 0.05], LINES)
    pieces = rng.choice([1, 5, 10, 20, 50, 100, 200, 500], LINES)
    weights = [
        UnitWeight(part_number=f"P-{i}", lot="L1", mean_g=m, u_g=c * m / 50**0.5, piece_sd_g=c * m, sample_pieces=50,
                   source=WeightSource.SAMPLED)
        for i, (m, c) in enumerate(zip(masses.tolist(), scatters.tolist(), strict=True))
    ]  # fmt: skip
    parts = [
        Part(number=w.part_number, description="part", family="part", bulk_volume_mm3=float(300 * w.mean_g),
             longest_mm=20, supply=Supply.BUY, price_minor=1, currency="EUR")
        for w in weights
    ]  # fmt: skip
    bench = bench_of(SCALES, BAGS, Settings())
    began = perf_counter()
    counted = [
        count_line(part, weight_for_lot([weight], "L1"), int(n), bench)
        for part, weight, n in zip(parts, weights, pieces, strict=True)
    ]
    planned_s = perf_counter() - began
    began = perf_counter()
    for weight, n in zip(weights, pieces, strict=True):
        count_window(
            int(n),
            unit_weight_g=weight.mean_g,
            unit_weight_u_g=weight.u_g,
            piece_sd_g=weight.piece_sd_g,
            indication_u_g=0.02,
        )
    reference_s = perf_counter() - began
    by_hand = sum(bags[0].scale_code == "" for bags in counted)
    print(f"{LINES} lines planned in {planned_s:.3f} s ({by_hand} by hand); one window each: {reference_s:.3f} s")
    began = perf_counter()
    innovations([50] * 100_000, [45.0] * 100_000, [0.03] * 100_000, unit_weight_g=0.9, unit_weight_u_g=0.001,
                piece_sd_g=0.009)  # fmt: skip
    print(f"100000 innovations in {perf_counter() - began:.3f} s")


if __name__ == "__main__":
    main()
