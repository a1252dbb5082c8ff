"""Exact walks against worked examples and published instances."""

import pytest

from fulfil import Block, shortest_walk
from fulfil.room.blocks import Blocks
from fulfil.room.policies import POLICIES, policy_length_mm
from fulfil.room.sweeping.sweep import Sweep

# Six worked examples, each computed by two separate programs (the dynamic programme of Ratliff and Rosenthal 1983 and
# Held and Karp 1962); B is also worked by hand below. Lengths in tenths: example C has a pitch of 2.4.
EXAMPLES = {
    "A": (100, 30, [[], [40], [], []], 140),
    "B": (100, 50, [[20, 80], [50], [90]], 420),
    "C": (110, 24, [[30], [20, 90], [100], [10]], 444),
    "D": (200, 40, [[10, 20, 180], [], [190], [50, 60], [100]], 860),
    "E": (100, 10, [[50]] * 5, 580),
    "F": (120, 60, [[60], [10, 110], [], [20, 100], []], 640),
}


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_worked_examples(name: str) -> None:
    """The exact walk of each worked example has the length found by both programs."""
    length_mm, pitch_mm, picks, expected_mm = EXAMPLES[name]
    room = Block(tuple(pitch_mm * aisle for aisle in range(len(picks))), length_mm)
    walk = shortest_walk(room, [(aisle, y) for aisle, ys in enumerate(picks) for y in ys])

    assert walk.length_mm == expected_mm
    assert walk.proven


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_worked_examples_by_sweep(name: str) -> None:
    """The sweep for several blocks, given only two cross aisles, finds the same lengths."""
    length_mm, pitch_mm, picks, expected_mm = EXAMPLES[name]
    room = Blocks(tuple(pitch_mm * aisle for aisle in range(len(picks))), (0, length_mm), (0, 0))

    assert room.walk_length_mm([(aisle, y) for aisle, ys in enumerate(picks) for y in ys]) == expected_mm


# The same examples by the formulas of the rules of thumb (Hall 1993, Petersen 1997, Roodbergen and de Koster 2001).
BY_RULE = {
    "A": {"S-shape": 140, "return": 140, "midpoint": 140, "largest gap": 140, "combined": 140},
    "B": {"S-shape": 580, "return": 640, "midpoint": 500, "largest gap": 500, "combined": 500},
    "C": {"S-shape": 584, "return": 604, "midpoint": 464, "largest gap": 464, "combined": 444},
    "D": {"S-shape": 1120, "return": 1380, "midpoint": 860, "largest gap": 860, "combined": 940},
    "E": {"S-shape": 580, "return": 580, "midpoint": 580, "largest gap": 580, "combined": 580},
    "F": {"S-shape": 800, "return": 900, "midpoint": 640, "largest gap": 640, "combined": 720},
}


@pytest.mark.parametrize("name", sorted(EXAMPLES))
def test_worked_examples_by_rule_of_thumb(name: str) -> None:
    """Each rule of thumb gives the length worked out for the example."""
    length_mm, pitch_mm, picks, _ = EXAMPLES[name]
    room = Block(tuple(pitch_mm * aisle for aisle in range(len(picks))), length_mm)
    stops = [(aisle, y) for aisle, ys in enumerate(picks) for y in ys]

    assert {policy: policy_length_mm(policy, room, stops) for policy in POLICIES} == BY_RULE[name]


@pytest.mark.parametrize(("cross_aisles", "states"), [(2, 7), (3, 25)])
def test_number_of_states(cross_aisles: int, states: int) -> None:
    """The sweep meets as many states as the literature counts, the finished walk and the beginning included.

    Seven for two cross aisles: Ratliff and Rosenthal, Oper. Res. 31, 1983. Twenty-five for three: Roodbergen and de
    Koster, Eur. J. Oper. Res. 133, 2001 (quoted from memory; reproduced here from the rules alone).
    """
    room = Blocks(tuple(range(0, 60, 5)), tuple(range(0, 10 * cross_aisles, 10)), (0, 0))
    sweep = Sweep.of(room.network, room.sweep_orders())

    assert sweep is not None
    assert sweep.states == states


def test_example_b_by_hand() -> None:
    """Example B leg by leg: two passes of 10, 2 into the last aisle from the back, 5 + 2·5 + 5 across: 42."""
    room = Block((0, 5, 10), 10)
    walk = shortest_walk(room, [(0, 2), (0, 8), (1, 5), (2, 9)])

    assert walk.path == ((0, 0), (0, 10), (10, 10), (10, 9), (10, 10), (5, 10), (5, 0), (0, 0))
    assert walk.length_mm == 10 + 10 + 2 * (10 - 9) + 5 + 2 * 5 + 5
