"""A strict type check fails on wrong calls of the public doors, and knows what right ones give back."""

from pathlib import Path

import pytest
from mypy import api

WRONG = """\
import numpy as np
import pandas as pd
import fulfil

fulfil.count_window("many", unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)  # no
fulfil.count_window(50, unit_weight_g=None, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)  # no
fulfil.count_window(50, unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01)  # no
fulfil.count_window(50, unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_g=0.03)  # no
fulfil.largest_count(unit_weight_g="0.9", unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)  # no
fulfil.smallest_sample(50.5, unit_weight_g=0.9, piece_sd_g=0.01, indication_u_g=0.03, reading_u_g=0.03)  # no
fulfil.shortest_walk(fulfil.Block(aisle_x_mm=(0, 5000), length_mm=9000), [3, 4])  # no
fulfil.Block(aisle_x_mm="0 5000", length_mm=9000)  # no
fulfil.plan_batches(fulfil.Block(aisle_x_mm=(0, 5000), length_mm=9000), [[(0, 5)]])  # no
fulfil.read_shop(5)  # no
fulfil.read_shop("shop.db").customers  # no
fulfil.nothing_of_this_name  # no
one = fulfil.count_window(50, unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)
text: str = one.lower_g  # no
number: float = one.lower_g
many = fulfil.count_window(
    np.array([5, 50]), unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03
)
first: float = float(many.lower_g[0])
single: float = many.lower_g  # no
rows = pd.Series([0.9, 0.4], index=["BALL-3", "CAM-7"])
frame = fulfil.count_window(50, unit_weight_g=rows, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)
table: pd.DataFrame = frame
alone: float = frame  # no
counts = fulfil.largest_count(unit_weight_g=rows, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)
largest: int = counts  # no
count: int = fulfil.largest_count(unit_weight_g=0.9, unit_weight_u_g=0.001, piece_sd_g=0.01, indication_u_g=0.03)
try:
    fulfil.open_shop("shop.db")
except fulfil.Refusal as refusal:
    print(refusal.expected)
"""


def test_each_wrong_line_is_an_error_and_no_other(tmp_path: Path) -> None:
    """Checked as a stranger's file, with all that is strict."""
    (tmp_path / "wrong.py").write_text(WRONG, encoding="utf-8")
    out, err, _ = api.run(["--strict", "--no-error-summary", "--show-error-codes", str(tmp_path / "wrong.py")])
    assert not err
    wrong = {number for number, line in enumerate(WRONG.splitlines(), 1) if line.endswith("# no")}
    said = {int(line.split(":")[1]) for line in out.splitlines() if "wrong.py:" in line and ": error:" in line}
    assert said == wrong, out


@pytest.mark.parametrize("name", ["count_window", "largest_count", "shortest_walk", "plan_batches", "prove"])
def test_help_shows_the_doors(name: str) -> None:
    """``dir(fulfil)`` and ``help(fulfil)`` name them."""
    import pydoc

    import fulfil

    assert name in dir(fulfil)
    assert f"{name}(" in pydoc.plain(pydoc.render_doc(fulfil))
