"""Bad pieces out of their bin: each demand by itself, and a make-room job for what is made here."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.errors import StateRefused
from fulfil.stock.levels import adjust_bin, count_bin, receive, reject_pieces
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, WHO, level, open_harbour


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop: 25 cams in WAKA-1, made next door; 90 springs in MOANA-1, bought."""
    with open_harbour(tmp_path) as opened:
        yield opened


@pytest.mark.parametrize(("pieces", "reason"), [(0, "cracked"), (-3, "cracked"), (4, ""), (4, "  ")])
def test_pieces_and_a_reason_are_both_needed(shop: Shop, pieces: int, reason: str) -> None:
    """One without the other is refused; the bin stays as it was."""
    with pytest.raises(StateRefused, match="one piece or more and what is wrong with them"):
        reject_pieces(shop, "WAKA-1", pieces, reason, day=DAY, **WHO)
    assert level(shop, "WAKA-1") == 25


def test_made_pieces_are_made_again_and_bought_ones_are_not(shop: Shop) -> None:
    """Four cracked cams become a job of four; four weak springs are only out."""
    made = reject_pieces(shop, "WAKA-1", 4, "cracked", day=DAY, **WHO)
    assert made.job is not None
    assert (made.after, made.job.pieces, made.job.reason) == (21, 4, "rejected: cracked")
    bought = reject_pieces(shop, "MOANA-1", 4, "weak", day=DAY, **WHO)
    assert (bought.after, bought.job) == (86, None)


@pytest.mark.parametrize("pieces", [-1])
def test_a_count_below_nothing_and_a_receipt_of_nothing_are_refused(shop: Shop, pieces: int) -> None:
    """The sentences say what was expected."""
    with pytest.raises(StateRefused, match="0 pieces or more"):
        count_bin(shop, "MOANA-1", pieces, **WHO)
    with pytest.raises(StateRefused, match="one piece or more, and the delivery"):
        receive(shop, "MOANA-1", 0, "Þórðarfjaðrir (invented)", **WHO)
    assert level(shop, "MOANA-1") == 90


@pytest.mark.parametrize(("change", "reason"), [(0, "found"), (3, ""), (3, " ")])
def test_an_adjustment_needs_a_change_and_a_reason(shop: Shop, change: int, reason: str) -> None:
    """Each by itself is refused."""
    with pytest.raises(StateRefused, match="a change and a reason"):
        adjust_bin(shop, "MOANA-1", change, reason, **WHO)
    assert level(shop, "MOANA-1") == 90
