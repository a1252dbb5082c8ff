"""Look-alikes: which parts pass another's window, and how the index finds them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from fulfil.errors import UnknownRefused, WeighingRefused
from fulfil.weighing.lookalike import LookAlikeIndex, Where


def _tiny(**changes: object) -> LookAlikeIndex:
    columns: dict[str, object] = {
        "part_numbers": ["CAP-M3x10", "CAP-M3x12", "CAP-M3x10-BLACK", "WASHER-M6", "CAP-M3x10-TWIN"],
        "mean_g": [0.9, 1.0, 0.91, 0.92, 0.9],
        "u_g": [0.0005] * 5,
        "piece_sd_g": [0.004] * 5,
        "family": ["cap screw", "cap screw", "cap screw", "washer", "cap screw"],
        "size": ["M3×10", "M3×12", "M3×10", "M6", "M3×10"],
        "finish": ["zinc", "zinc", "black", "zinc", "zinc"],
        "position_mm": [[0, 0], [0, 400], [0, 5000], [900, 0], [8000, 0]],
    }
    return LookAlikeIndex(**{**columns, **changes})  # type: ignore[arg-type]


def test_nearby_come_first_then_the_family() -> None:
    """Bins within reach are listed before the family, and each says what to look at."""
    (line,) = _tiny().passing(["CAP-M3x10"], [3], [0.45], [0.02])

    assert [(a.part_number, a.where, a.look_at) for a in line] == [
        ("WASHER-M6", Where.NEARBY, "size"),
        ("CAP-M3x12", Where.NEARBY, "size"),
        ("CAP-M3x10-BLACK", Where.FAMILY, "finish"),
        ("CAP-M3x10-TWIN", Where.FAMILY, ""),
    ]
    assert line[0].sentence == "Look at the size: M3×10, not M6 (washer)."
    assert line[2].sentence == "Look at the finish: zinc, not black."
    assert line[3].sentence == "They look and weigh the same: scan the bin's label."


def test_scope_and_most_narrow_the_answer() -> None:
    """`within` keeps nearby bins only, `most` the first few."""
    index = _tiny()

    (near,) = index.passing(["CAP-M3x10"], [3], [0.45], [0.02], within=Where.NEARBY)
    (one,) = index.passing(["CAP-M3x10"], [3], [0.45], [0.02], most=1)

    assert [a.part_number for a in near] == ["WASHER-M6", "CAP-M3x12"]
    assert [a.part_number for a in one] == ["WASHER-M6"]


def test_a_larger_count_tells_near_unit_weights_apart() -> None:
    """Screws of 0.9 and 1.0 g differ by the window (0.45 g) at 4.5 pieces, by far more at 20."""
    index = _tiny()

    found = index.passing(["CAP-M3x10"] * 3, [4, 5, 20], [0.45] * 3, [0.001] * 3, risk_pass=0.01)
    longer = [[a.pass_probability for a in line if a.part_number == "CAP-M3x12"] for line in found]

    assert longer[0][0] > 0.99
    assert longer[1:] == [[], []]


def test_counts_that_coincide_are_found_on_request() -> None:
    """Nine screws of 1.0 g weigh as much as ten of 0.9 g: found with a count slack of one, not without."""
    index = _tiny()

    (without,) = index.passing(["CAP-M3x10"], [10], [0.3], [0.02])
    (with_slack,) = index.passing(["CAP-M3x10"], [10], [0.3], [0.02], count_slack=1)

    assert [a for a in without if a.part_number == "CAP-M3x12"] == []
    assert [(a.pieces, round(a.pass_probability, 3)) for a in with_slack if a.part_number == "CAP-M3x12"] == [(9, 1.0)]


@settings(deadline=None, max_examples=60)
@given(seed=st.integers(0, 10_000), risk=st.sampled_from([0.0005, 0.01, 0.3]), slack=st.integers(0, 2))
def test_index_finds_what_trying_every_pair_finds(seed: int, risk: float, slack: int) -> None:
    """The sorted index misses no part and adds none, against scipy's normal distribution for every pair."""
    rng = np.random.default_rng(seed)
    parts = 80
    mean = np.exp(rng.uniform(np.log(0.5), np.log(3), parts))
    sd = mean * np.exp(rng.uniform(np.log(0.0005), np.log(0.6), parts))
    u = mean * np.exp(rng.uniform(np.log(0.0005), np.log(0.3), parts))
    names = [f"P{i:02d}" for i in range(parts)]
    index = LookAlikeIndex(names, mean, u, sd, ["f"] * parts, ["s"] * parts, ["x"] * parts)
    line = rng.integers(0, parts, 4)
    pieces = rng.integers(1, 40, 4)
    half = mean[line] * rng.uniform(0.1, 0.9, 4)

    found = index.passing([names[i] for i in line], pieces, half, 0.02, risk_pass=risk, count_slack=slack, most=10**6)

    for i in range(4):
        expected = {}
        for packed in range(max(1, pieces[i] - slack), pieces[i] + slack + 1):
            gap = packed * mean - pieces[i] * mean[line[i]]
            spread = np.sqrt(packed * sd**2 + (packed * u) ** 2 + 0.02**2)
            chance = norm.cdf((half[i] - gap) / spread) - norm.cdf((-half[i] - gap) / spread)
            for part in np.flatnonzero(chance > risk):
                if part != line[i]:
                    expected[names[part], packed] = chance[part]
        actual = {(a.part_number, a.pieces): a.pass_probability for a in found[i]}
        assert set(actual) == set(expected)
        for key, chance in expected.items():
            assert actual[key] == pytest.approx(chance, abs=1e-9)


def test_pass_probability_is_what_simulation_finds() -> None:
    """Of 200,000 bags of the wrong part, the share inside the window is the stated probability."""
    rng = np.random.default_rng(4)
    index = LookAlikeIndex(["A", "B"], [1.0, 1.02], [0.002, 0.004], [0.01, 0.03], ["f"] * 2, ["s"] * 2, ["x"] * 2)
    (line,) = index.passing(["A"], [20], [0.45], [0.05])
    weight = (
        20 * rng.normal(1.02, 0.004, 200_000)
        + np.sqrt(20) * 0.03 * rng.standard_normal(200_000)
        + 0.05 * rng.standard_normal(200_000)
    )

    share = float(np.mean(np.abs(weight - 20.0) <= 0.45))

    assert line[0].pass_probability == pytest.approx(share, abs=4 * np.sqrt(share * (1 - share) / 200_000))


def test_mistake_shares_sum_to_one() -> None:
    """The shares of all wrong parts of a right one sum to one, the right one's own is nothing."""
    index = _tiny()

    shares = index.mistake_shares(np.arange(5)[:, None], np.arange(5)[None, :])

    assert shares.sum(axis=1) == pytest.approx(np.ones(5))
    assert np.diag(shares).tolist() == [0.0] * 5
    assert shares[0] == pytest.approx(np.array([0, 10, 5, 10, 5]) / 30)


def test_a_bin_of_unknown_place_is_never_near() -> None:
    """A part without a bin is in the family or anywhere, for look-alikes and for priors."""
    index = _tiny(position_mm=[[np.nan, np.nan], [0, 400], [0, 5000], [900, 0], [8000, 0]])

    (line,) = index.passing(["CAP-M3x10"], [3], [0.45], [0.02])

    assert {a.where for a in line} == {Where.FAMILY, Where.ANYWHERE}
    assert index.mistake_shares(0, np.arange(5)).sum() == pytest.approx(1)


def test_wrong_use_is_refused() -> None:
    """A part never sampled, a column too short, a part twice and an unknown part are refused by name."""
    with pytest.raises(WeighingRefused) as refused:
        _tiny(mean_g=[0.9, float("nan"), 0.91, 0.92, 0.9])
    assert str(refused.value) == (
        "Cannot index the unit weight of CAP-M3x12, 'nan': expected a number above 0 g; sample it first."
    )
    with pytest.raises(WeighingRefused, match="one value for each of 5 parts"):
        _tiny(u_g=[0.001])
    with pytest.raises(WeighingRefused, match="'4': expected 5 values"):
        _tiny(finish=["zinc"] * 4)
    with pytest.raises(WeighingRefused, match="each part number once"):
        _tiny(part_numbers=["A"] * 5)
    with pytest.raises(UnknownRefused, match="'Z': expected an indexed part"):
        _tiny().passing(["Z"], [1], [0.1], [0.01])


def test_no_lines_have_no_look_alikes() -> None:
    """A day without lines asks nothing and gets nothing."""
    assert _tiny().passing([], [], [], []) == ()


def test_a_part_without_a_finish_is_said_to_have_none():
    """An empty attribute reads as a word: 'zinc, not none (bush)'."""
    index = LookAlikeIndex(
        ["SCREW", "BUSH"], [1.0, 1.0], [0.001] * 2, [0.005] * 2, ["screw", "bush"], ["M3", "M3"], ["zinc", ""]
    )

    assert index.difference(0, 1) == ("finish", "Look at the finish: zinc, not none (bush).")
    assert index.difference(1, 0) == ("finish", "Look at the finish: none, not zinc (screw).")
