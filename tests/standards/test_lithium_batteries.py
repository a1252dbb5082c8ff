"""Lithium cells and batteries: read from one line, told apart by UN number, never cleared.

UN numbers and contents are quoted from memory from the UN Model Regulations (dangerous goods list, special provision
188); the counts by post as public postal guidance restates the Universal Postal Convention.
"""

import pytest

from fulfil.errors import CodeRefused
from fulfil.standards import lithium_batteries as lithium


@pytest.mark.parametrize(
    ("said", "un_number", "is_small"),
    [
        ("ion cell 2.6 Wh, alone", 3480, True),
        ("ion cell 20 Wh, packed with equipment", 3481, True),
        ("ion cell 20.1 Wh, contained in equipment", 3481, False),
        ("ion battery 100 Wh, alone", 3480, True),
        ("ion battery 100.5 Wh, alone", 3480, False),
        ("metal cell 1 g, alone", 3090, True),
        ("metal cell 1.01 g, in equipment", 3091, False),
        ("metal battery 2 g, with equipment", 3091, True),
        ("METAL  battery 2.001g with equipment", 3091, False),
    ],
)
def test_what_it_is_and_whether_it_is_small(said: str, un_number: int, is_small: bool) -> None:
    """Limits from both sides; what is printed reads as it was."""
    battery = lithium.parse(said)
    assert (battery.un_number, battery.is_small) == (un_number, is_small)
    assert lithium.parse(str(battery)) == battery


@pytest.mark.parametrize(
    "said",
    ["", "lithium", "ion cell", "ion cell 2.6 g, alone", "metal cell 1 Wh, alone", "ion cell 0 Wh, alone",
     "ion cell 2,6 Wh, alone", "ion pack 2 Wh, alone", "ion cell 2 Wh, in a box", "ion cell 2 Wh",
     "ion cell -2 Wh, alone", "ion cell ٣ Wh, alone"],
)  # fmt: skip
def test_what_says_too_little_is_refused(said: str) -> None:
    """With what to write."""
    with pytest.raises(CodeRefused, match="expected ion or metal, cell or battery"):
        lithium.parse(said)


@pytest.mark.parametrize(
    ("said", "pieces", "by_post", "count"),
    [
        ("ion cell 2.6 Wh, contained in equipment", 4, True, 0),
        ("ion cell 2.6 Wh, contained in equipment", 5, True, 1),
        ("ion battery 30 Wh, contained in equipment", 3, True, 1),
        ("ion cell 2.6 Wh, packed with equipment", 1, True, 1),
        ("ion cell 2.6 Wh, alone", 1, True, 1),
        ("ion cell 2.6 Wh, alone", 50, False, 0),
        ("metal battery 3 g, alone", 1, True, 2),
    ],
)
def test_what_speaks_against_a_way(said: str, pieces: int, by_post: bool, count: int) -> None:
    """An empty answer clears nothing: the hazard word stops the package all the same."""
    assert len(lithium.against(lithium.parse(said), pieces, by_post=by_post)) == count


def test_a_review_opens_no_post() -> None:
    """A trained person may take responsibility for a large one by road, not for what the post doesn't admit."""
    large = lithium.parse("ion battery 120 Wh, alone")
    assert lithium.against(large, 1, by_post=False, is_reviewed=True) == ()
    assert lithium.against(large, 1, by_post=True, is_reviewed=True) == ("UN 3480 alone is not admitted by post",)
