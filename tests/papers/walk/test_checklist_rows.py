"""Rows of a checklist take no more paper than what stands in them."""

from dataclasses import replace

from fulfil_demo_catalog.samples.walk import checklist

from fulfil.papers.door import leaves
from fulfil.papers.ink import Text
from fulfil.papers.walk.checklist import ChecklistSheet, NotThis
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Paper
from tests.papers import geometry


def _sheet(*look_alikes: NotThis) -> ChecklistSheet:
    """Two weighed bags whose looks are one line each, both to be told from these parts."""
    plain = next(row for row in checklist(1).rows if row.method is CountMethod.WEIGH)
    row = replace(plain, description="", family="nut", size="M3", finish="", look_alikes=look_alikes, cautions=())
    return replace(checklist(0), rows=(row, replace(row, bag_code="42000999")))


def _row_mm(sheet: ChecklistSheet) -> float:
    """From one row's bag number to the next one's."""
    (leaf,) = leaves([sheet], page=Paper.A4)
    geometry.assert_all([leaf])
    tops = sorted(
        top for mark, (_, top, _, _) in leaf.marks() if isinstance(mark, Text) and mark.text in ("000", "999")
    )
    return tops[1] - tops[0]


def test_a_short_difference_stands_in_the_room_beside_the_window() -> None:
    """One line of looks and one of a difference are no higher than window and scale; a long one goes across, below."""
    alone = _row_mm(_sheet())
    short = _row_mm(_sheet(NotThis(words="not washer", part_numbers=("WSH-0003",))))
    long = _row_mm(_sheet(NotThis(words="M3, not M3.5: measure it " * 3, part_numbers=("NUT-0004",))))

    assert short == alone
    assert long > alone


def test_what_is_drawn_to_scale_keeps_the_whole_width() -> None:
    """A line of 60 mm doesn't fit beside the window: it is drawn below, not left out."""
    apart = NotThis(words="long, not short", part_numbers=("NUT-0009",), right_mm=60, wrong_mm=50)
    (leaf,) = leaves([_sheet(apart)], page=Paper.A4)

    assert [mark.text for mark, _ in leaf.marks() if isinstance(mark, Text) and mark.text == "60 mm"] == ["60 mm"] * 2
