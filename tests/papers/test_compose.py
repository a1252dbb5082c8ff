"""Blocks onto pages."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PaperRefused
from fulfil.papers.compose import paginate
from fulfil.papers.ink import Block, ended

AGAIN = Block(7.0)
BLOCKS = st.lists(
    st.builds(
        Block,
        st.floats(1, 20),
        keeps_next=st.booleans(),
        again=st.sampled_from([None, AGAIN]),
    ),
    max_size=40,
).map(
    # Two blocks that must stay together are the most that is asked here, so that every run fits a page of 100 mm.
    lambda blocks: [
        Block(each.height_mm, (), each.keeps_next and i % 2 == 0 and i + 1 < len(blocks), each.again)
        for i, each in enumerate(blocks)
    ]
)


@given(BLOCKS)
def test_every_block_is_placed_once_in_order_and_inside_the_page(blocks):
    """All blocks, none twice, none over the edge, none over another."""
    pages = paginate(blocks, room_mm=100)
    placed = [block for page in pages for _, block in page if block is not AGAIN]

    assert [id(block) for block in placed] == [id(block) for block in blocks]
    for page in pages:
        bottom = 0.0
        for y, block in page:
            assert y == pytest.approx(bottom)
            bottom = y + block.height_mm
        assert bottom <= 100 + 1e-3


@given(BLOCKS)
def test_a_heading_is_never_last_and_is_repeated_on_new_pages(blocks):
    """What keeps the next stands with it; a page begun by a block with a heading repeats the heading."""
    pages = paginate(blocks, room_mm=100)
    for page in pages[:-1]:
        assert not page[-1][1].keeps_next
    for page in pages[1:]:
        if page[0][1] is AGAIN:
            assert page[1][1].again is AGAIN
        else:
            assert page[0][1].again is None


def test_what_is_higher_than_a_page_is_refused():
    """Nothing runs over the lower edge in silence."""
    with pytest.raises(PaperRefused, match="Cannot print a part of the page '120 mm high': expected at most 100 mm"):
        paginate([Block(120.0)], room_mm=100)


def test_what_is_signed_never_stands_without_a_row():
    """A foot that no longer fits takes the last row with it onto its page, under the headings again."""
    rows = [Block(30.0, again=AGAIN) for _ in range(3)]

    pages = paginate(ended(rows, Block(20.0)), room_mm=100)

    assert [[block.height_mm for _, block in page] for page in pages] == [[30.0, 30.0], [7.0, 30.0, 20.0]]
