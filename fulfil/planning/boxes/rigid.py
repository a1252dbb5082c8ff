"""Where a stiff piece goes in: a rod, a sheet or a block, into a flat bag and into a box. Whole millimetres.

A piece is taken as the smallest block around it, its sides longest first. What can be folded or coiled has the sides
that it is packed with.

*A flat bag* is two sheets that bend around the piece, so it must be as much wider and longer than the piece as that
is thick (common practice of bag sizes: width + thickness, length + thickness):

>>> goes_into_bag((820, 6, 6), 60, 80), goes_into_bag((820, 6, 6), 90, 900), goes_into_bag((59, 37, 37), 60, 80)
(False, True, False)

*A box*: the piece lies on one of its sides, and no higher than the box; on the floor it may be turned. A rectangle of
p by q, p the longer side, lies in one of a by b when p <= a and q <= b, and corner to corner when p > a, q <= b and
((a + b) / (p + q))² + ((a - b) / (p - q))² >= 2 (J. E. Wetzel, "Rectangles in rectangles", Mathematics Magazine 73
(2000) 204, after W. B. Carver, American Mathematical Monthly 64 (1957) 114; quoted from memory, tried by turning).

>>> lies_in((59, 37, 37), (230, 160, 25)), lies_in((59, 37, 37), (160, 110, 60)), lies_in((450, 6, 6), (400, 300, 200))
(False, True, True)

*Several pieces* that are thicker than half the height of a box can't lie upon each other: they stand side by side, and
each takes its smallest footprint of the floor (:func:`footprint_mm2`). That and the volume are asked of them together;
how they are turned about each other isn't.
"""

from itertools import permutations

Sides = tuple[int, int, int]


def goes_into_bag(piece: Sides, width_mm: int, height_mm: int) -> bool:
    """Whether a flat bag of this inside size takes one piece."""
    longest, second, third = sorted(piece, reverse=True)
    shorter, longer = sorted((width_mm, height_mm))
    return longest + third <= longer and second + third <= shorter


def lies_in(piece: Sides, box: Sides) -> bool:
    """Whether a box of these inside sides takes one piece."""
    for high, *flat in permutations(box):
        for thick, *rest in permutations(piece):
            if thick <= high and _rectangle_lies_in((rest[0], rest[1]), (flat[0], flat[1])):
                return True
    return False


def footprint_mm2(piece: Sides, box: Sides) -> int:
    """What a piece takes of the floor of a box on which nothing may lie upon it; 0 where pieces may be stacked.

    The box lies on its largest side; a piece that may stand in it does.

    >>> footprint_mm2((59, 37, 37), (160, 110, 60)), footprint_mm2((59, 37, 37), (300, 220, 150))
    (1369, 0)
    """
    longest, second, third = sorted(piece, reverse=True)
    height = min(box)
    if 2 * third <= height:
        return 0
    if longest <= height:
        return second * third
    return longest * third if second <= height else longest * second


def floor_mm2(box: Sides) -> int:
    """The largest side of a box."""
    _, second, longest = sorted(box)
    return second * longest


def _rectangle_lies_in(piece: tuple[int, int], floor: tuple[int, int]) -> bool:
    q, p = sorted(piece)
    b, a = sorted(floor)
    if p <= a:
        return q <= b
    if q > b or p == q:
        return False
    # The condition of the docstring times (p + q)² (p - q)², in whole numbers.
    plus, minus = (p + q) ** 2, (p - q) ** 2
    return (a + b) ** 2 * minus + (a - b) ** 2 * plus >= 2 * plus * minus
