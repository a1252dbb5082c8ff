"""The plain door for a display: limits on its steps, risks true for them; what can't be is one sentence."""

import math
import warnings
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

import fulfil
from fulfil.errors import Refusal, WeighingRefused
from fulfil.weighing.error_model import error_model
from fulfil.weighing.interval import checked_interval
from fulfil.weighing.limits import on_scale, printed_limits, risks_of_limits
from fulfil.weighing.window import count_window, largest_count, window_of

PART: dict[str, Any] = {
    "unit_weight_g": 0.9, "unit_weight_u_g": 0.009 / math.sqrt(50), "piece_sd_g": 0.009, "indication_u_g": 0.04,
    "tare_g": 2.1, "tare_u_g": 0.02,
}  # fmt: skip


@given(
    unit=st.floats(0.2, 50),
    c=st.floats(0.001, 0.05),
    sample=st.integers(5, 200),
    pieces=st.integers(1, 400),
    d=st.sampled_from(["0.001", "0.01", "0.02", "0.05", "0.1"]),
    noise=st.floats(0, 0.1),
)
def test_the_plain_door_and_the_plan_print_the_same_limits(
    unit: float, c: float, sample: int, pieces: int, d: str, noise: float
) -> None:
    """Where a plan prints limits in exact decimals, count_window with d gives the same; both risks hold, or it says."""
    part = {"unit_weight_g": unit, "unit_weight_u_g": c * unit / sample**0.5, "piece_sd_g": c * unit,
            "indication_u_g": math.hypot(noise, float(d) / 12**0.5) + 1e-9, "tare_g": 2.1,
            "tare_u_g": 0.02}  # fmt: skip
    shown = count_window(pieces, **part, d_g=Decimal(d))
    bag = error_model(pieces, **part)
    printed = printed_limits(bag, window_of(bag), Decimal(d), risk_pass=0.001, risk_reject=0.005)
    again = risks_of_limits(pieces, shown.lower_g, shown.upper_g, **part, d_g=float(d), averaged_over="own sample")

    assert shown.resolvable is (printed is not None)
    if printed is not None:
        assert (shown.lower_g, shown.upper_g) == (float(printed[0]), float(printed[1]))
        assert max(shown.p_pass_one_short, shown.p_pass_one_over) <= 0.001
    for ours, theirs in ((shown.p_reject, again.p_reject), (shown.p_pass_one_over, again.p_pass_one_over)):
        assert ours == pytest.approx(theirs, rel=1e-6, abs=1e-12)
    assert Decimal(repr(shown.lower_g)) % Decimal(d) == 0 == Decimal(repr(shown.upper_g)) % Decimal(d)


@pytest.mark.parametrize("pieces", [30, 60, 75])
def test_stated_risks_are_those_of_a_display_that_rounds(pieces: int) -> None:
    """A million bags whose indication is rounded to 0.1 g, each part's truth about its sample (4.8 std errors)."""
    rng, bags = np.random.default_rng(pieces), 1_000_000
    window = count_window(pieces, **PART, d_g=0.1)
    noise = math.sqrt(0.04**2 - 0.1**2 / 12)
    for offset, stated in ((1, window.p_pass_one_over), (-1, window.p_pass_one_short), (0, 1 - window.p_reject)):
        n = pieces + offset
        load = n * (0.9 + rng.normal(0, PART["unit_weight_u_g"], bags)) + rng.normal(0, 0.009 * n**0.5, bags)
        load += 2.1 + rng.normal(0, 0.02, bags) + rng.normal(0, noise, bags)
        indication = np.rint(load / 0.1) * 0.1
        share = float(np.mean((indication >= window.lower_g - 1e-6) & (indication <= window.upper_g + 1e-6)))
        assert abs(share - stated) <= 4.8 * math.sqrt(max(stated * (1 - stated), 1 / bags) / bags)


def test_a_multi_interval_scale_has_the_step_of_each_load() -> None:
    """0.1 g up to 60 g, 0.5 g above: by hand and by scipy; a window over the range's end has a step of each."""
    scale: list[tuple[Decimal | float, Decimal | float]] = [(60, 0.1), (150, Decimal("0.5"))]
    part = {**PART, "unit_weight_g": 10.0, "piece_sd_g": 0.2, "unit_weight_u_g": 0.01, "indication_u_g": 0.16}
    light, heavy = (count_window(n, **part, d_g=scale) for n in (5, 10))
    across = risks_of_limits(6, 59.9, 64.0, **part, d_g=scale)

    assert round(light.lower_g / 0.1, 6) % 1 == 0
    assert round(light.lower_g / 0.5, 6) % 1 > 0
    assert round(heavy.lower_g / 0.5, 6) % 1 == 0 == round(heavy.upper_g / 0.5, 6) % 1
    spread = math.sqrt(6 * 0.2**2 + (6 * 0.01) ** 2 + 0.02**2 + 0.16**2 - 0.5**2 / 12)
    by_scipy = norm.cdf(64.25, 62.1, spread) - norm.cdf(59.85, 62.1, spread)
    assert across.p_pass_right == pytest.approx(by_scipy)


@given(
    unit=st.floats(0.2, 20), c=st.floats(0.001, 0.05), sample=st.integers(5, 200), d=st.sampled_from([0.01, 0.1, 0.5])
)
def test_the_largest_count_for_a_display_is_resolvable_on_it_with_all_below(
    unit: float, c: float, sample: int, d: float
) -> None:
    """Wherever the limits fall between two steps; single numbers and arrays agree; never more than with no display."""
    part = {"unit_weight_g": unit, "unit_weight_u_g": c * unit / sample**0.5, "piece_sd_g": c * unit,
            "indication_u_g": d * 0.4, "tare_g": 1.0}  # fmt: skip
    most = largest_count(**part, d_g=d)

    assert largest_count(**{name: [value] for name, value in part.items()}, d_g=d).tolist() == [most]
    assert most <= largest_count(**part)
    if most:
        assert count_window(np.unique(np.linspace(1, most, 30).astype(int)), **part, d_g=d).resolvable.all()


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: risks_of_limits(50, 47.5, 46.7, **PART), "Cannot accept weights between limits '47.5 g to 46.7 g': "
         "expected the lower one first."),
        (lambda: risks_of_limits(50, math.nan, 47.5, **PART), "Cannot use lower limit 'nan g'"),
        (lambda: risks_of_limits(50, 46.7, "heavy", **PART), "Cannot use upper limit 'heavy g'"),
        (lambda: risks_of_limits(50, 46.7, 47.5, **PART, d_g=0), "Cannot use scale interval d '0': expected 1, 2 or 5"),
        (lambda: risks_of_limits(50, 46.7, 47.5, **PART | {"averaged_over": "own samples"}),
         "Cannot average risks over 'own samples': expected 'fresh samples' or 'own sample'."),
        (lambda: risks_of_limits(50, 46.7, 47.5, **PART, unit_weight_error_g=math.nan), "unit weight error 'nan g'"),
        (lambda: risks_of_limits([1, 2], [1.0, 2.0, 3.0], 47.5, **PART), "single numbers, or shapes that broadcast"),
        (lambda: risks_of_limits(50.5, 46.7, 47.5, **PART), "Cannot count pieces '50.5'"),
        (lambda: count_window([1, 2, 3], **(PART | {"tare_g": [1.0, 2.0]})), "pieces (3,), tare (2,)"),
        (lambda: count_window([1, 2, 3], **PART, risk_pass=[0.1, 0.2]), "shapes that broadcast"),
        (lambda: largest_count(**PART | {"tare_g": [1.0, 2.0]}, risk_pass=[0.1, 0.2, 0.3]), "shapes that broadcast"),
        (lambda: count_window(50, **PART, d_g=-0.1), "Cannot use scale interval d '-0.1'"),
        (lambda: count_window(50, **PART, d_g=math.nan), "Cannot use scale interval d 'nan'"),
        (lambda: count_window(50, **PART, d_g=0.25), "1, 2 or 5 times a power of ten"),
        (lambda: count_window(50, **PART | {"d_g": "fine"}), "Cannot use scale interval d 'fine'"),
        (lambda: count_window(50, **PART, d_g=[(60, 0.1), (30, 0.2)]), "in rising order"),
        (lambda: count_window(50, **PART, d_g=[]), "in rising order"),
        (lambda: count_window(50, **PART, d_g=0.5), "an indication uncertainty of at least d/√12 = 0.144 g"),
        (lambda: largest_count(**PART, d_g=0.5), "an indication uncertainty of at least d/√12 = 0.144 g"),
        (lambda: on_scale(count_window(50, **PART), 0), "Cannot use scale interval d '0'"),
        (lambda: on_scale(count_window([50, 51], **PART), 0.1), "one bag at a time"),
    ],
)  # fmt: skip
def test_wrong_use_is_refused_in_one_sentence(call: object, says: str) -> None:
    """No probability below 0 or above 1, no raw error, no warning, nothing taken silently."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        with pytest.raises(Refusal) as refused:
            call()

    assert says in str(refused.value)
    assert str(refused.value).count("expected") == 1


def test_a_float_d_is_what_its_digits_say() -> None:
    """0.1 is a tenth, for limits on a scale and for risks."""
    assert on_scale(count_window(50, **PART), 0.1) == on_scale(count_window(50, **PART), Decimal("0.1"))
    assert checked_interval(0.1) == checked_interval(Decimal("0.1"))
    assert fulfil.count_window(50, **PART, d_g=0.1).lower_g == 46.7
    with pytest.raises(WeighingRefused):
        checked_interval([(60, 0.1, 3)])  # type: ignore[list-item]  # the wrong shape is the point
