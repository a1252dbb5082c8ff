"""The time of a walk, set and learned."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import RoomRefused
from fulfil.room.time_model import TimeModel, learn_times


def test_parts_of_a_walk_by_hand() -> None:
    """80 m at 0.8 m/s are 100 s; four lines of 4 + 5 s; levels 0 to 3 reach in 1, 0, 2, 2 s; 180 s to set up."""
    times = TimeModel(speed_mm_s=800, reach_s=(1, 0, 2), search_s=4, count_s=5, set_up_s=180).times(80000, [0, 1, 2, 3])

    assert (times.set_up_s, times.walk_s, times.reach_s, times.search_s, times.count_s) == (180, 100, 5, 16, 20)
    assert times.total_s == 321


def test_counts_known_better_replace_the_setting() -> None:
    """A time for each line's count may be given."""
    times = TimeModel(count_s=5).times(0, [0, 0], count_s=[60, 2.5])

    assert times.count_s == 62.5


@given(
    st.floats(300, 2000),
    st.floats(1, 60),
    st.floats(0, 600),
    st.lists(st.tuples(st.integers(10**4, 10**6), st.integers(1, 60)), min_size=6, max_size=30, unique=True),
)
def test_learning_finds_what_made_the_times(
    speed_mm_s: float, line_s: float, set_up_s: float, walks: list[tuple[int, int]]
) -> None:
    """Times made without scatter are reproduced: what is learned predicts them all."""
    seconds = [set_up_s + line_s * lines + length_mm / speed_mm_s for length_mm, lines in walks]
    learned = learn_times([(*walk, total) for walk, total in zip(walks, seconds, strict=True)])
    for (length_mm, lines), total in zip(walks, seconds, strict=True):
        predicted = learned.set_up_s + learned.line_s * lines + length_mm / learned.speed_mm_s
        assert predicted == pytest.approx(total, rel=1e-6)
    assert learned.n == len(walks)
    assert learned.residual_sd_s < 1e-3


def test_walks_that_say_nothing_of_speed() -> None:
    """If longer walks took no longer, the speed is infinite, not negative."""
    learned = learn_times([(10000, 1, 50.0), (20000, 1, 40.0), (30000, 1, 30.0), (40000, 1, 20.0)])

    assert math.isinf(learned.speed_mm_s)


@pytest.mark.parametrize(
    ("settings", "sentence"),
    [
        ({"speed_mm_s": 0}, "Cannot set speed_mm_s '0': expected a speed above 0 mm/s."),
        ({"reach_s": ()}, "Cannot set reach_s '()': expected a time for at least one level."),
        ({"search_s": -1}, "Cannot set search_s '-1': expected no time below 0 s."),
    ],
)
def test_impossible_settings_are_refused(settings: dict[str, object], sentence: str) -> None:
    """A setting that can't be is refused in one sentence."""
    with pytest.raises(RoomRefused) as refusal:
        TimeModel(**settings)  # type: ignore[arg-type]

    assert str(refusal.value) == sentence


def test_too_few_walks_are_refused() -> None:
    """Three numbers and their scatter need four walks."""
    with pytest.raises(RoomRefused, match=r"^Cannot learn times from walks '2': expected at least 4 walks\.$"):
        learn_times([(1, 1, 1.0), (2, 1, 1.0)])


def test_count_times_must_match_the_lines() -> None:
    """One count time too few is refused, not stretched."""
    with pytest.raises(RoomRefused, match=r"^Cannot take count_s '1': expected one time for each of 2 lines\.$"):
        TimeModel().times(0, [0, 0], count_s=[1.0])
