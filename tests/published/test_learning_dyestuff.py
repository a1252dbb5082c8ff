"""Learning against published one-way random-effects results: the Dyestuff data.

Data: O. L. Davies (ed.), Statistical Methods in Research and Production (1947); Box and Tiao, Bayesian Inference in
Statistical Analysis (1973), section 5.1. Yields of 5 preparations from each of 6 batches, here taken as weights in
g of single pieces from 6 lots. Results: the README of MixedModels.jl and the reference output of lme4.
"""

import numpy as np
import pytest
from statsmodels.regression.mixed_linear_model import MixedLM

from fulfil.weighing.learning.learning import Learned, learn
from fulfil.weighing.learning.prior import LearningPrior

YIELDS = np.array([
    [1545, 1440, 1440, 1520, 1580],
    [1540, 1555, 1490, 1560, 1495],
    [1595, 1550, 1605, 1510, 1560],
    [1445, 1440, 1595, 1465, 1545],
    [1595, 1630, 1515, 1635, 1625],
    [1520, 1455, 1450, 1480, 1445],
], dtype=float)  # fmt: skip
LOTS = [batch for batch in "ABCDEF" for _ in range(5)]


def _learned(piece_sd_g: float, lot_sd_g: float, df: float) -> Learned:
    prior = LearningPrior(piece_sd_g / 1527.5, df, lot_sd_g / 1527.5, df)
    return learn(["DYE"] * 30, LOTS, 1, YIELDS.ravel(), 0.0, prior=prior)


def test_conditional_means_of_the_maximum_likelihood_fit() -> None:
    """With the ML components 1388.34 and 2451.25 the batches' conditional means are those printed, to their digits."""
    learned = _learned(2451.25**0.5, 1388.34**0.5, 1e8)

    assert learned.mean_g[0] == pytest.approx(1527.5)
    assert learned.mean_u_g[0] == pytest.approx(17.69, abs=0.005)
    assert learned.lot_shift_g == pytest.approx([-16.6283, 0.369517, 26.9747, -21.8015, 53.5799, -42.4944], abs=2e-4)


def test_conditional_means_of_a_reference_library() -> None:
    """With the components that statsmodels finds by REML, its random effects are our lot shifts."""
    fit = MixedLM(YIELDS.ravel(), np.ones((30, 1)), groups=LOTS).fit(reml=True)
    learned = _learned(fit.scale**0.5, float(fit.cov_re[0, 0]) ** 0.5, 1e8)

    assert fit.scale == pytest.approx(2451.25, rel=1e-4)
    assert learned.mean_u_g[0] == pytest.approx(float(fit.bse_fe[0]), rel=1e-4)
    assert learned.lot_shift_g == pytest.approx([float(fit.random_effects[b].iloc[0]) for b in "ABCDEF"], abs=1e-3)


def test_weak_priors_find_the_components() -> None:
    """With priors worth half a weighing, centred elsewhere, s.d. come out near 49.5 and 42.0 (REML), a bit above."""
    learned = _learned(30.0, 60.0, 0.5)

    assert learned.mean_g[0] == pytest.approx(1527.5)
    assert 48 < learned.piece_sd_g[0] < 56
    assert 40 < learned.lot_sd_g[0] < 70
    assert learned.lots[4] == ("DYE", "E")
    assert int(np.argmax(learned.lot_shift_g)) == 4
