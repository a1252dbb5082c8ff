"""Columns of a table in, the same rows out: what was asked by part is answered by part."""

import numpy as np
import pandas as pd
import pytest

import fulfil
from fulfil.errors import WeighingRefused

PARTS = pd.DataFrame(
    {"mean_g": [0.9, 0.4, 2.0], "u_g": [0.0013, 0.002, 0.001]},
    index=pd.Index(["CAM-7", "BALL-3", "REED-A"], name="part"),
)
REST = {"piece_sd_g": 0.009, "indication_u_g": 0.03, "tare_g": 2.1, "tare_u_g": 0.02}


@pytest.mark.parametrize("d_g", [None, 0.1])
def test_windows_of_a_table_keep_its_rows(d_g: float | None) -> None:
    """Each row is what its own numbers give alone, under its own label, in the table's order."""
    found = fulfil.count_window(50, unit_weight_g=PARTS["mean_g"], unit_weight_u_g=PARTS["u_g"], d_g=d_g, **REST)

    assert found.index.equals(PARTS.index)
    assert found.index.name == "part"
    for part, row in PARTS.iterrows():
        alone = fulfil.count_window(50, unit_weight_g=row["mean_g"], unit_weight_u_g=row["u_g"], d_g=d_g, **REST)
        assert found.loc[part, "lower_g"] == pytest.approx(alone.lower_g, abs=1e-9)
        assert found.loc[part, "resolvable"] == alone.resolvable
    assert [*found.columns] == [*fulfil.ArrayWindow.__dataclass_fields__]


def test_counts_of_a_table_keep_its_rows() -> None:
    """As the windows; whole numbers."""
    found = fulfil.largest_count(unit_weight_g=PARTS["mean_g"], unit_weight_u_g=PARTS["u_g"], **REST)

    alone = [fulfil.largest_count(unit_weight_g=g, unit_weight_u_g=u, **REST) for g, u in PARTS.to_numpy()]
    pd.testing.assert_series_equal(found, pd.Series(alone, index=PARTS.index, name="pieces"))


def test_an_array_beside_a_series_goes_by_place() -> None:
    """Of the same length; another one is refused, and so is a shape that no index fits."""
    pieces = np.array([5, 50, 500])
    found = fulfil.count_window(pieces, unit_weight_g=PARTS["mean_g"], unit_weight_u_g=0.001, **REST)
    assert found["target_g"].tolist() == pytest.approx([0.9 * 5 + 2.1, 0.4 * 50 + 2.1, 2.0 * 500 + 2.1])

    with pytest.raises(WeighingRefused, match="as many as the series has rows"):
        fulfil.count_window(pieces[:, None], unit_weight_g=PARTS["mean_g"], unit_weight_u_g=0.001, **REST)


def test_series_of_other_rows_are_not_paired_by_place() -> None:
    """One part's uncertainty never goes to another."""
    turned = PARTS["u_g"].iloc[::-1]
    with pytest.raises(WeighingRefused, match="rows CAM-7, BALL-3, REED-A and rows REED-A, BALL-3, CAM-7"):
        fulfil.count_window(50, unit_weight_g=PARTS["mean_g"], unit_weight_u_g=turned, **REST)
    with pytest.raises(WeighingRefused, match="the same rows in the same order"):
        fulfil.largest_count(unit_weight_g=PARTS["mean_g"], unit_weight_u_g=turned, **REST)


def test_arrays_stay_arrays() -> None:
    """Where no argument is a series."""
    found = fulfil.count_window([5, 50], unit_weight_g=0.9, unit_weight_u_g=0.001, **REST)
    assert isinstance(found, fulfil.ArrayWindow)
