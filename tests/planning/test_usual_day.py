"""What the next day takes: the chance k/(n + 1) counted over all orders of days, mean and uncertainty by hand."""

from fractions import Fraction
from itertools import permutations
from math import sqrt

import pytest

from fulfil.errors import PlanRefused
from fulfil.planning.usual_day import usual_day


@pytest.mark.parametrize("takes", [(0, 3, 7, 20, 21), (1, 2, 3, 4, 5, 6)])
@pytest.mark.parametrize("chance", [0.5, 0.6, 0.8])
def test_the_chance_is_counted(takes, chance):
    """Days that are alike come in any order: of all of them, the last day keeps to the bound as often as is said."""
    kept = [(usual_day(order[:-1], days=len(order) - 1, chance=chance), order[-1]) for order in permutations(takes)]
    share = Fraction(sum(last <= usual.most for usual, last in kept), len(kept))

    assert share == Fraction(kept[0][0].chance).limit_denominator(100)
    assert share >= chance or kept[0][0].most == max(takes[:-1])


def test_mean_and_uncertainty_by_hand():
    """Takes of 2, 4 and 0 on three days: mean 2, s.d. 2, so u = 2/√3; five days' need is the most and four means."""
    usual = usual_day([2, 4], days=3, chance=0.75)

    assert (usual.mean, usual.most, usual.chance) == (2, 4, 0.75)
    assert usual.u == pytest.approx(2 / sqrt(3))
    assert usual.over(5) == 4 + 4 * 2


@pytest.mark.parametrize(("days", "chance"), [(0, 0.9), (1, 0.9), (3, 1.0), (3, 0.0)])
def test_refusals(days, chance):
    """Days that aren't there, chances that are none."""
    with pytest.raises(PlanRefused):
        usual_day([1, 2], days=days, chance=chance)
