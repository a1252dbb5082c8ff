"""Chances of lateness: against simpy, against a normal distribution's table, and by what each remedy must do."""

from math import exp, log, sqrt

import numpy as np
import pytest
import simpy
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.planning.lateness import Draws, Due, UnderWay, foresee
from fulfil.planning.paces import Pace, drawn_left_s, learn_pace, left_s
from fulfil.planning.people import TimedWalk

SURE = Pace(0.0, 0.0, 0.0, 0.0)


def test_walks_end_when_simpy_says():
    """Nine walks, three people, forty drawn days: equal to a discrete event simulation (simpy, PyPI), to the µs."""
    walks = [TimedWalk(f"W{number}", 300 + 97 * number) for number in range(9)]
    drawn = Draws(walks, [], 3, Pace(), 40, np.random.default_rng(3), 0.0)
    ends = drawn.ends([walk.name for walk in walks], 3)

    for day in range(40):
        world = simpy.Environment()
        free = simpy.Store(world)
        free.items = [0, 1, 2]
        seen = {}

        def go(name, world=world, free=free, seen=seen, day=day):
            picker = yield free.get()
            yield world.timeout(drawn.of_walk[name][day] * drawn.of_picker[picker, day])
            seen[name] = world.now
            yield free.put(picker)

        for walk in walks:
            world.process(go(walk.name))
        world.run()
        assert {name: float(end[day]) for name, end in ends.items()} == pytest.approx(seen, abs=1e-6)


def test_one_walk_is_late_as_often_as_the_normal_table_says():
    """Limit one s.d. above the median: 15.87 %; two: 2.28 % (NIST/SEMATECH e-Handbook, 1.3.6.7.1, from memory)."""
    pace = Pace(0.0, 0.1, 0.1, sqrt(0.02))
    for deviations, chance in ((1, 0.1587), (2, 0.0228), (0, 0.5)):
        limit = round(100_000 * exp(0.2 * deviations))
        rng = np.random.default_rng(5)
        walk = TimedWalk("a", 100_000)
        (seen,) = foresee([walk], [Due("S", "a", limit)], pickers=1, pace=pace, rng=rng, draws=100_000)
        assert seen.chance_late == pytest.approx(chance, abs=4 * sqrt(chance * (1 - chance) / 100_000))
        assert seen.likely_s == pytest.approx(100_000, rel=0.005)
        assert seen.nine_in_ten_s == pytest.approx(100_000 * exp(0.2 * 1.2816), rel=0.01)


@given(st.lists(st.integers(60, 4000), min_size=1, max_size=6), st.integers(1, 3), st.integers(0, 9000))
@settings(deadline=None, max_examples=40)
def test_without_scatter_a_chance_is_yes_or_no(seconds, pickers, limit):
    """All walks as expected: late for sure, or not at all, as by adding up by hand; help never harms."""
    walks = [TimedWalk(f"W{number}", one) for number, one in enumerate(seconds)]
    dues = [Due("S", walk.name, limit) for walk in walks]
    (seen,) = foresee(walks, dues, pickers=pickers, pace=SURE, rng=np.random.default_rng(1), draws=3)
    busy = [0] * pickers
    for one in seconds:
        busy[busy.index(min(busy))] += one

    assert seen.chance_late == (max(busy) > limit)
    assert seen.likely_s == max(busy)
    assert all(one.chance_late == 0 for one in seen.helps)


def test_the_walk_to_put_first_is_named():
    """A long walk without hurry stands before a short one that is due: the short one first, or the long one last."""
    walks = [TimedWalk("long", 3000), TimedWalk("due", 600)]
    dues = [Due("road", "long", 9000), Due("post", "due", 1000)]
    post, road = foresee(walks, dues, pickers=1, pace=SURE, rng=np.random.default_rng(1), draws=3)

    assert [(one.kind, one.walk, one.chance_late) for one in post.helps] == [
        ("one picker more", "", 0.0), ("this walk first", "due", 0.0), ("this walk last", "long", 0.0),
    ]  # fmt: skip
    assert road.chance_late == 0.0
    assert road.helps == ()


def test_help_that_makes_other_packages_late_is_no_help():
    """Whichever goes first, the other is late; the one with more packages stays first."""
    walks = [TimedWalk("many", 900), TimedWalk("one", 900)]
    dues = [Due("A", "many", 1000, packages=8), Due("B", "one", 1000, packages=1)]
    _, lone = foresee(walks, dues, pickers=1, pace=SURE, rng=np.random.default_rng(1), draws=3)

    assert [one.kind for one in lone.helps] == ["one picker more"]


def test_a_picker_who_is_out_takes_the_next_walk_after_this_one():
    """One is out for 100 s yet, nobody else: the walk that waits ends 100 s later than alone."""
    out = [UnderWay("out", 300, 200)]
    dues = [Due("S", "next", 700)]
    tight = Pace(0.0, 0.0, 0.0, 1e-6)
    (seen,) = foresee(
        [TimedWalk("next", 600)], dues, pickers=1, pace=tight, rng=np.random.default_rng(1), under_way=out
    )

    assert seen.likely_s == 700


def test_rush_orders_to_come_slow_the_rest():
    """A tenth of people's time goes to rush orders: 600 s become 660 s."""
    dues = [Due("S", "a", 650)]
    walk = [TimedWalk("a", 600)]
    (seen,) = foresee(walk, dues, pickers=1, pace=SURE, rng=np.random.default_rng(1), draws=3, rush_share=0.1)

    assert (seen.likely_s, seen.chance_late) == (660, 1.0)


def test_what_is_left_of_a_walk_follows_the_cut_distribution():
    """Of many drawn walks those that take longer than 500 s: what is left of them, quantile for quantile."""
    pace = Pace(0.05, 0.1, 0.1, 0.2)
    drawn = 600 * np.exp(pace.bias + pace.sd * np.random.default_rng(2).standard_normal(400_000))
    longer = drawn[drawn > 500] - 500
    for share in (0.1, 0.5, 0.9):
        found = float(drawn_left_s(600, 500, pace, np.array([share]))[0])
        assert found == pytest.approx(max(30, float(np.quantile(longer, share))), rel=0.01)
    assert left_s(600, 500, pace) == pytest.approx(float(np.median(longer)), rel=0.01)
    assert left_s(600, 10_000, pace) == 30


def test_the_pace_is_learned():
    """Twelve people, 50 walks each, of known scatter: found again within what so many can tell."""
    rng = np.random.default_rng(4)
    ratios = {
        f"P{person}": list(np.exp(0.12 + 0.08 * rng.standard_normal() + 0.2 * rng.standard_normal(50)))
        for person in range(12)
    }
    found = learn_pace(ratios)

    assert found.walk_sd == pytest.approx(0.2, rel=0.1)
    assert found.picker_sd == pytest.approx(0.08, rel=0.4)
    assert abs(found.bias - 0.12) < 3 * found.shared_sd
    assert found.shared_sd < 0.04
    assert learn_pace({"ann": [1.5]}).bias < log(1.5) / 2
