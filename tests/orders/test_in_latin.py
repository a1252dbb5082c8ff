"""What is offered for letters that no paper prints is a line that the shop takes."""

import pytest

from fulfil.orders.print_check import in_latin


@pytest.mark.parametrize(("length", "offered"), [(100, 200), (101, 200), (300, 200), (40, 80)])
def test_the_offer_is_no_longer_than_a_line(length: int, offered: int) -> None:
    """ሰ is se in Latin letters: two for each, at most the 200 that a line holds."""
    assert len(in_latin("ሰ" * length)) == offered
