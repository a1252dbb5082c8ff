"""Cycle counts of a bin by weight."""

import pytest

from fulfil.errors import WeighingRefused
from fulfil.weighing.bulk import BulkCount
from fulfil.weighing.cycle_count import compare_with_book


def _count(lower: int, upper: int, *, piece_u: float = 1.0, unit_weight_u: float = 0.5) -> BulkCount:
    return BulkCount((lower + upper) // 2, lower, upper, 0.95, 1000.0, piece_u, unit_weight_u, 0.1)


def test_a_book_count_in_a_narrow_interval_agrees() -> None:
    """A book count between the ends of an interval within the tolerance is confirmed."""
    found = compare_with_book(_count(498, 502), 501, tolerance_pieces=2)

    assert (found.agrees, found.is_decisive, found.difference) == (True, True, -1)
    assert found.sentence == "The book's 501 fit the weight (500 pieces, 95 % between 498 and 502)."


def test_a_book_count_outside_is_a_difference() -> None:
    """A book count beyond an end differs, however wide the interval."""
    found = compare_with_book(_count(480, 520), 450, tolerance_pieces=2)

    assert (found.agrees, found.difference) == (False, 50)
    assert found.sentence == "50 more than the book's 450 (500 pieces, 95 % between 480 and 520). Count by hand."


@pytest.mark.parametrize(
    ("piece_u", "unit_weight_u", "remedy"),
    [(1.0, 9.0, "take a larger sample"), (9.0, 1.0, "weigh it in parts"), (0.0, 0.0, "use a finer scale")],
)
def test_a_wide_interval_confirms_nothing_and_says_what_narrows_it(
    piece_u: float, unit_weight_u: float, remedy: str
) -> None:
    """Where anything fits, the sentence names the remedy for the largest part of the interval."""
    found = compare_with_book(_count(480, 520, piece_u=piece_u, unit_weight_u=unit_weight_u), 500, tolerance_pieces=2)

    assert (found.agrees, found.is_decisive) == (True, False)
    assert found.sentence == f"The book's 500 fit the weight, but so does anything from 480 to 520: {remedy}."


def test_a_negative_book_count_is_refused() -> None:
    """A bin can't hold fewer than no pieces."""
    with pytest.raises(WeighingRefused, match="book count of '-1': expected 0 pieces or more"):
        compare_with_book(_count(1, 3), -1, tolerance_pieces=1)
