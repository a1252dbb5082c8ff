"""One bad value among ten thousand is named by its place, or by the label that its series gives it."""

import numpy as np
import pandas as pd
import pytest

import fulfil
from fulfil.errors import QuantityRefused, WeighingRefused

MODEL = {"unit_weight_u_g": 0.001, "piece_sd_g": 0.009, "indication_u_g": 0.03, "tare_g": 2.1, "tare_u_g": 0.02}


def test_a_nan_among_ten_thousand_is_located() -> None:
    """Counted from 0, as NumPy counts."""
    pieces = np.full(10_000, 50.0)
    pieces[4711] = np.nan
    with pytest.raises(QuantityRefused, match="Cannot count pieces of element 4711 'nan'"):
        fulfil.count_window(pieces, unit_weight_g=0.9, d_g=0.1, **MODEL)


def test_a_series_is_located_by_its_label() -> None:
    """The part's number, say."""
    weights = pd.Series([0.9, float("nan"), 1.1], index=["BALL-3", "CAM-7", "REED-A"])
    with pytest.raises(WeighingRefused, match="Cannot use unit weight of row CAM-7 'nan g'"):
        fulfil.count_window(50, unit_weight_g=weights, d_g=0.1, **MODEL)
