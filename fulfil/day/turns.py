"""How a picker comes to each stop: which aisle, from which end, and on which hand the bin then is.

>>> [approach.sentence for approach in approaches([(0, 0), (0, 10), (5, 10), (5, 4), (5, 10)], ["1", "2"], [0, 5],
...                                               [(0, 3), (0, 8), (1, 4)])]
['Aisle 1, from the front', '', 'Aisle 2, from the back']
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from fulfil.records.place import Side


@dataclass(frozen=True)
class Approach:
    """``sentence`` is empty while the picker goes on in one aisle the same way; ``is_upwards``: towards the back."""

    sentence: str
    is_upwards: bool

    def hand(self, side: Side) -> Side:
        """The hand on which a bin is for the picker who comes along; ``side`` is seen from the front."""
        if self.is_upwards:
            return side
        return Side.LEFT if side is Side.RIGHT else Side.RIGHT


def approaches(
    path: Sequence[tuple[int, int]],
    aisle_names: Sequence[str],
    aisle_x_mm: Sequence[int],
    stops: Sequence[tuple[int, int]],
) -> list[Approach]:
    """One approach for each stop; ``stops`` in walking order, each first passed on ``path`` after the one before."""
    found: list[Approach] = []
    before: tuple[int, bool] | None = None
    legs = list(pairwise(path)) or [(path[0], path[0])]
    leg = 0
    for aisle, y_mm in stops:
        while not _passes(legs[leg], aisle_x_mm[aisle], y_mm) and leg < len(legs) - 1:
            leg += 1
        (_, from_y), (_, to_y) = legs[leg]
        is_upwards = to_y >= from_y if from_y != to_y else y_mm == 0
        way = (aisle, is_upwards)
        sentence = ""
        if before is None or before[0] != aisle:
            sentence = f"Aisle {aisle_names[aisle]}, from the {'front' if is_upwards else 'back'}"
        elif before[1] != is_upwards:
            sentence = f"Turn round in aisle {aisle_names[aisle]}"
        found.append(Approach(sentence, is_upwards))
        before = way
    return found


def _passes(leg: tuple[tuple[int, int], tuple[int, int]], x_mm: int, y_mm: int) -> bool:
    (x1, y1), (x2, y2) = leg
    return min(x1, x2) <= x_mm <= max(x1, x2) and min(y1, y2) <= y_mm <= max(y1, y2)
