"""Windows and largest counts: the worked bag, both risks for every part at once, and refusals at the bench."""

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

import fulfil
from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.window import count_window, largest_count
from fulfil.weighing.window_types import CountWindow

WORKED = {
    "unit_weight_g": 0.9,
    "unit_weight_u_g": 0.009 / math.sqrt(50),
    "piece_sd_g": 0.009,
    "indication_u_g": 0.03,
    "tare_u_g": 0.02,
}
"""A part of 0.9 g, 1 % scatter, sample of 50, scale read to 0.1 g: the worked bag (computed)."""

parts = st.fixed_dictionaries(
    {
        "unit_weight_g": st.floats(0.01, 500),
        "unit_weight_u_g": st.floats(0, 0.5),
        "piece_sd_g": st.floats(0, 5),
        "indication_u_g": st.floats(0, 1),
        "tare_u_g": st.floats(0, 0.5),
    }
)
risks = st.floats(1e-5, 0.2)


def spread(pieces: float, offset: int, part: dict[str, float]) -> float:
    """v_j written out once more, apart from the code under test."""
    return math.sqrt(
        (pieces + offset) * part["piece_sd_g"] ** 2
        + pieces**2 * part["unit_weight_u_g"] ** 2
        + part["indication_u_g"] ** 2
        + part["tare_u_g"] ** 2
    )


def passing(window: CountWindow, pieces: int, offset: int, part: dict[str, float]) -> float:
    """P(pass) by scipy.stats, the reference library."""
    deviation = norm(offset * part["unit_weight_g"], spread(pieces, offset, part))
    low, high = window.lower_g - window.target_g, window.upper_g - window.target_g
    return float(deviation.cdf(high) - deviation.cdf(low))


def test_largest_count_of_the_worked_bag() -> None:
    """118 pieces at 1 %/1 %, 85 at 0.1 %/0.1 %, 94 at the house risks (closed form, Z s_N ≤ μ)."""
    at = [
        largest_count(**WORKED, risk_pass=risk_pass, risk_reject=risk_reject)
        for risk_pass, risk_reject in ((0.01, 0.01), (0.001, 0.001), (0.001, 0.005))
    ]

    assert at == [118, 85, 94]


@pytest.mark.parametrize(("pieces", "risk_pass", "risk_reject"), [(118, 0.01, 0.01), (94, 0.001, 0.005)])
def test_half_a_unit_weight_is_not_the_rule_at_the_limit(pieces: int, risk_pass: float, risk_reject: float) -> None:
    """At 118 pieces (1 %/1 %) half a piece would reject 1.38 % of right bags; at 94 it would pass N − 1 with .158 %."""
    window = count_window(pieces, **WORKED, risk_pass=risk_pass, risk_reject=risk_reject)
    half = window.upper_g - window.target_g
    low, high = {118: (0.47085, 0.47475), 94: (0.42782, 0.42903)}[pieces]

    assert low - 1e-5 <= half <= high + 1e-5
    assert abs(half - 0.45) > 0.02
    assert max(window.p_pass_one_short, window.p_pass_one_over) <= risk_pass
    assert window.p_reject <= risk_reject


def test_numbers_in_numbers_out() -> None:
    """Single numbers give plain floats and a plain bool; the limits are gross."""
    window = count_window(50, **WORKED, tare_g=2.1)

    assert [type(value) for value in (window.lower_g, window.p_reject, window.resolvable)] == [float, float, bool]
    assert window.target_g == pytest.approx(47.1)
    assert window.lower_g < window.target_g < window.upper_g
    assert fulfil.count_window is count_window
    assert isinstance(largest_count(**WORKED), int)


def test_arrays_broadcast_and_agree_with_single_numbers() -> None:
    """Every field has the broadcast shape and the value that single numbers give."""
    pieces = np.array([[1], [50], [400]])
    tares = np.array([0.0, 2.1])
    windows = count_window(pieces, **WORKED, tare_g=tares)

    for row, count in enumerate((1, 50, 400)):
        for column, tare in enumerate((0.0, 2.1)):
            one = count_window(count, **WORKED, tare_g=tare)
            for name in CountWindow.__dataclass_fields__:
                field = getattr(windows, name)
                assert field.shape == (3, 2)
                assert field[row, column] == pytest.approx(getattr(one, name), rel=1e-9, abs=1e-300)


def test_risks_may_be_arrays() -> None:
    """A table of what the scale can count at several risks is one call."""
    counts = largest_count(
        **WORKED, risk_pass=np.array([0.01, 0.001, 0.001]), risk_reject=np.array([0.01, 0.001, 0.005])
    )

    assert counts.tolist() == [118, 85, 94]


def test_beyond_the_largest_count_the_window_never_grows() -> None:
    """150 and 200 pieces keep half a unit weight and say so: N − 1 would pass with 2.2 % and 5.8 %."""
    windows = count_window(np.array([150, 200]), **WORKED)

    assert not windows.resolvable.any()
    assert windows.upper_g - windows.target_g == pytest.approx([0.45, 0.45])
    assert windows.p_pass_one_short == pytest.approx([0.021894, 0.058279], abs=5e-7)
    assert windows.p_pass_one_over == pytest.approx([0.022066, 0.058459], abs=5e-7)
    assert windows.p_reject == pytest.approx([0.043960, 0.116741], abs=5e-7)


def test_a_window_with_room_to_spare_still_finds_a_wrong_part() -> None:
    """One gear of 20 g needn't be within ± 10 g: the window stops where one right bag in a million is sent back."""
    window = count_window(
        1, unit_weight_g=20.0, unit_weight_u_g=0.02, piece_sd_g=0.1, indication_u_g=0.03, tare_u_g=0.02
    )

    assert window.p_reject == pytest.approx(1e-6)
    assert window.upper_g - window.target_g < 0.6


def test_a_part_without_scatter_has_no_limit_but_the_largest_number() -> None:
    """Exact pieces on an exact scale: 999 999 999, the largest number that the house can count."""
    exact = {"unit_weight_u_g": 0, "piece_sd_g": 0, "indication_u_g": 0}

    assert largest_count(unit_weight_g=1, **exact) == 999_999_999
    assert largest_count(unit_weight_g=[1e-6, 1.0, 1e6, 1e12], **exact).tolist() == [999_999_999] * 4


def test_a_scale_too_coarse_for_one_piece_counts_none() -> None:
    """√(u_s² + u_t²) above μ/Z: the largest count is 0 and one piece isn't resolvable."""
    part = WORKED | {"indication_u_g": 0.2}

    assert largest_count(**part) == 0
    assert not count_window(1, **part).resolvable


@given(part=parts, pieces=st.integers(1, 100_000), risk_pass=risks, risk_reject=risks)
def test_both_risks_hold_wherever_a_window_is_called_resolvable(
    part: dict[str, float], pieces: int, risk_pass: float, risk_reject: float
) -> None:
    """Whatever the part: resolvable means p ≤ risk, three times, in both arithmetics; the limits are never beyond μ."""
    window = count_window(pieces, **part, risk_pass=risk_pass, risk_reject=risk_reject)
    many = count_window([pieces], **part, risk_pass=risk_pass, risk_reject=risk_reject)

    assert bool(many.resolvable[0]) is window.resolvable
    if window.resolvable:
        for one in (window.p_pass_one_short, window.p_pass_one_over):
            assert one <= risk_pass
        assert window.p_reject <= risk_reject
        assert many.p_reject[0] <= risk_reject
        assert max(many.p_pass_one_short[0], many.p_pass_one_over[0]) <= risk_pass


@given(part=parts, pieces=st.integers(1, 5_000), risk_pass=risks, risk_reject=risks)
def test_resolvable_is_at_most_the_largest_count(
    part: dict[str, float], pieces: int, risk_pass: float, risk_reject: float
) -> None:
    """resolvable(N) exactly when N ≤ largest_count, and single numbers and arrays agree on it."""
    largest = largest_count(**part, risk_pass=risk_pass, risk_reject=risk_reject)
    near = np.unique(np.clip([pieces, largest - 1, largest, largest + 1, largest + 2], 1, 999_999_999))
    windows = count_window(near, **part, risk_pass=risk_pass, risk_reject=risk_reject)

    assert windows.resolvable.tolist() == (near <= largest).tolist()
    rows: dict[str, Any] = {name: [value] for name, value in part.items()}
    assert largest_count(**rows, risk_pass=risk_pass,
                         risk_reject=risk_reject).tolist() == [largest]  # fmt: skip


@given(
    c=st.floats(0.001, 0.3),
    sample=st.integers(5, 200),
    pieces=st.integers(1, 60),
    risk_pass=st.floats(0.001, 0.05),
    risk_reject=st.floats(0.001, 0.05),
)
def test_no_other_window_would_do_where_none_is_found(
    c: float, sample: int, pieces: int, risk_pass: float, risk_reject: float
) -> None:
    """Beyond the largest count a search over all pairs of limits (scipy) finds none that holds both risks."""
    part = {"unit_weight_g": 1.0, "unit_weight_u_g": c / sample**0.5, "piece_sd_g": c, "indication_u_g": 0.02,
            "tare_u_g": 0.0}  # fmt: skip
    window = count_window(pieces, **part, risk_pass=risk_pass, risk_reject=risk_reject)
    low, high = np.meshgrid(np.linspace(-1, -0.02, 80), np.linspace(0.02, 1, 80))

    def inside(offset: int) -> np.ndarray:
        deviation = norm(offset, spread(pieces, offset, part))
        return deviation.cdf(high) - deviation.cdf(low)

    holds = (inside(-1) <= risk_pass) & (inside(1) <= risk_pass) & (1 - inside(0) <= risk_reject)
    if holds.any():
        assert window.resolvable


@given(part=parts, pieces=st.integers(1, 3_000))
def test_stated_probabilities_are_those_of_the_window(part: dict[str, float], pieces: int) -> None:
    """The chances of the returned limits by scipy.stats, with N + j pieces' scatter and both tails."""
    part = part | {"indication_u_g": part["indication_u_g"] + 1e-6}
    window = count_window(pieces, **part)

    assert window.p_pass_one_short == pytest.approx(passing(window, pieces, -1, part), rel=1e-6, abs=1e-12)
    assert window.p_pass_one_over == pytest.approx(passing(window, pieces, 1, part), rel=1e-6, abs=1e-12)
    assert 1 - window.p_reject == pytest.approx(passing(window, pieces, 0, part), rel=1e-6, abs=1e-12)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"unit_weight_g": 0.0}, "Cannot use unit weight '0.0 g': expected a mass above 0 g; "
         "count out a sample by hand and weigh it first."),
        ({"unit_weight_g": math.nan}, "Cannot use unit weight 'nan g': expected a mass above 0 g; "
         "count out a sample by hand and weigh it first."),
        ({"piece_sd_g": -0.01}, "Cannot use piece s.d. '-0.01 g': expected 0 g or more; "
         "weigh ten single pieces if it isn't known."),
        ({"tare_g": math.inf}, "Cannot use tare 'inf g': expected 0 g or more; "
         "weigh the empty bag, or zero the scale."),
        ({"risk_pass": 0.5}, "Cannot use risk_pass '0.5': expected a probability above 0 and below 0.5, "
         "such as 0.001 for one bag in a thousand."),
        ({"risk_reject": math.nan}, "Cannot use risk_reject 'nan': expected a probability above 0 and below 0.5, "
         "such as 0.001 for one bag in a thousand."),
    ],
)  # fmt: skip
@pytest.mark.parametrize("as_array", [False, True])
def test_what_cannot_be_weighed_is_refused_with_what_to_do(
    change: dict[str, float], sentence: str, as_array: bool
) -> None:
    """The sentence names the number and the next step at the bench, for one part and for a whole catalogue."""
    if as_array:
        change = {name: np.array([0.001 if "risk" in name else 1.0, value]) for name, value in change.items()}
    with pytest.raises(WeighingRefused) as refused:
        count_window(50, **(WORKED | change))

    where = " of element 1" if as_array and "risk" not in sentence else ""
    assert str(refused.value) == sentence.replace(" '", f"{where} '", 1)


@pytest.mark.parametrize("pieces", [0, -3, 2.5, math.nan, 1_000_000_000, [1, 2.5], [5, 0]])
def test_only_whole_pieces_from_one_are_counted(pieces: Any) -> None:
    """No bag of nothing, of half a piece, or of a thousand million."""
    with pytest.raises(QuantityRefused, match="expected a whole number from 1 to 999999999"):
        count_window(pieces, **WORKED)


@pytest.mark.parametrize("words", [["0,9 g"], ["0.9"], "0.9", [0.9, "0.9 g"], [None]])
def test_words_are_not_masses(words: object) -> None:
    """A column of text that slipped into the numbers is refused, not guessed at."""
    said: dict[str, Any] = {**WORKED, "unit_weight_g": words}
    with pytest.raises(WeighingRefused, match="Cannot use unit weight"):
        count_window(50, **said)
