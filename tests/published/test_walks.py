"""Exact walks against worked examples and published instances."""

import pytest

from fulfil import Block, shortest_walk

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


def test_example_b_by_hand() -> None:
    """Example B leg by leg: two passes of 10, 2 into the last aisle from the back, 5 + 2·5 + 5 across: 42."""
    room = Block((0, 5, 10), 10)
    walk = shortest_walk(room, [(0, 2), (0, 8), (1, 5), (2, 9)])

    assert walk.path == ((0, 0), (0, 10), (10, 10), (10, 9), (10, 10), (5, 10), (5, 0), (0, 0))
    assert walk.length_mm == 10 + 10 + 2 * (10 - 9) + 5 + 2 * 5 + 5
