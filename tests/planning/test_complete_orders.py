"""The most orders complete: the same as trying every choice, and as an independent solver says."""

from collections import defaultdict
from itertools import product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.planning.complete_orders import most_complete

DEMANDS = st.lists(
    st.dictionaries(st.sampled_from("pqr"), st.integers(1, 9), min_size=1, max_size=3), min_size=1, max_size=7
)


def pieces_of(chosen, demands, free, waits) -> int:
    """Pieces promised in all: chosen orders in full, those that don't wait take what is left."""
    left = dict(free)
    total = 0
    for wants_all in (True, False):
        for index, demand in enumerate(demands):
            for part, n in demand.items():
                if (index in chosen) == wants_all and (wants_all or not waits[index]):
                    got = min(n, left.get(part, 0))
                    left[part] = left.get(part, 0) - got
                    total += got
    return total


def best_by_trying(demands, free, waits):
    """(complete orders, pieces, minus the sum of arrival places) of the best of all choices."""
    best = (-1, 0, 0)
    for picks in product((False, True), repeat=len(demands)):
        chosen = {index for index, is_picked in enumerate(picks) if is_picked}
        asked = defaultdict(int)
        for index in chosen:
            for part, n in demands[index].items():
                asked[part] += n
        if all(n <= free.get(part, 0) for part, n in asked.items()):
            best = max(best, (len(chosen), pieces_of(chosen, demands, free, waits), -sum(chosen)))
    return best


@given(demands=DEMANDS, free=st.dictionaries(st.sampled_from("pqr"), st.integers(0, 20)), data=st.data())
def test_the_choice_is_best_of_all(demands, free, data):
    """Complete orders, then pieces, then early arrival: against every one of the 2^n choices."""
    waits = data.draw(st.lists(st.booleans(), min_size=len(demands), max_size=len(demands)))

    found = most_complete(demands, free, waits)

    assert found.is_proven
    chosen = set(found.chosen)
    assert (len(chosen), pieces_of(chosen, demands, free, waits), -sum(chosen)) == best_by_trying(demands, free, waits)


@pytest.mark.parametrize("seed", range(4))
def test_an_independent_solver_agrees_on_larger_cases(seed):
    """70 orders of 3 lines, half of the 25 parts scarce: as many complete orders as the solver CP-SAT proves."""
    cp_model = pytest.importorskip("ortools.sat.python.cp_model")
    rng = np.random.default_rng(seed)
    demands = [{f"p{part}": int(rng.integers(1, 20)) for part in rng.choice(25, 3, replace=False)} for _ in range(70)]
    free = {f"p{part}": int(rng.integers(30, 160)) for part in range(25)}

    found = most_complete(demands, free, [False] * 70)

    model = cp_model.CpModel()
    x = [model.new_bool_var(f"x{index}") for index in range(70)]
    for part, level in free.items():
        model.add(sum(demand[part] * x[index] for index, demand in enumerate(demands) if part in demand) <= level)
    model.maximize(sum(x))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    assert (len(found.chosen), found.bound) == (solver.objective_value, solver.objective_value)


def test_what_cannot_be_proven_says_its_bound():
    """With a single branch allowed the choice still fits, and the bound is no less than the choice."""
    rng = np.random.default_rng(7)
    demands = [{f"p{part}": int(rng.integers(1, 9)) for part in rng.choice(20, 4, replace=False)} for _ in range(80)]
    free = {f"p{part}": 25 for part in range(20)}

    found = most_complete(demands, free, [False] * 80, most_nodes=1)

    asked = defaultdict(int)
    for index in found.chosen:
        for part, n in demands[index].items():
            asked[part] += n
    assert all(n <= free[part] for part, n in asked.items())
    assert found.bound >= len(found.chosen) > 0


def test_a_very_large_group_gets_the_bound_of_its_relaxation(monkeypatch):
    """Without branching the choice fits, and no plan completes more than the bound says."""
    monkeypatch.setattr("fulfil.planning.complete_orders.MOST_BRANCHED", 0)
    demands = [{"a": 3}, {"a": 2}, {"a": 2}, {"a": 4, "b": 1}]

    found = most_complete(demands, {"a": 6, "b": 1}, [False] * 4)

    assert (len(found.chosen), found.bound) == (2, 2)
