"""Geometry of every paper, usual and extreme: measured on the marks that are drawn, not on a picture."""

import re
from itertools import combinations

from fulfil.papers.ink import Bars, Box, Disc, Shape, Strokes, Text
from fulfil.papers.wrap import LEAST_PT

_ROUNDING_MM = 0.01


def _cross(a, b, by=0.02):
    return a[0] < b[2] - by and b[0] < a[2] - by and a[1] < b[3] - by and b[1] < a[3] - by


def _within(inner, outer):
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def test_nothing_leaves_the_margins(case):
    """Every mark of every page lies inside the page's margins."""
    for leaf in case.leaves:
        size = leaf.size
        for mark, (left, top, right, bottom) in leaf.marks():
            slack = _ROUNDING_MM + (mark.line_mm / 2 if isinstance(mark, Strokes | Box) else 0)

            assert left >= size.side_mm - slack, mark
            assert top >= size.top_mm - slack, mark
            assert right <= size.width_mm - size.side_mm + slack, mark
            assert bottom <= size.height_mm - size.bottom_mm + slack, mark


def test_no_text_is_smaller_than_seven_points(case):
    """Nothing is set under 7 pt."""
    sizes = [mark.size_pt for leaf in case.leaves for mark, _ in leaf.marks() if isinstance(mark, Text)]

    assert sizes
    assert min(sizes) >= LEAST_PT


def test_no_text_lies_on_another(case):
    """No two texts of a page overlap."""
    for leaf in case.leaves:
        texts = sorted(
            ((extent, mark) for mark, extent in leaf.marks() if isinstance(mark, Text)), key=lambda each: each[0][1]
        )
        for i, (extent, mark) in enumerate(texts):
            for other, text in texts[i + 1 :]:
                if other[1] >= extent[3]:
                    break

                assert not _cross(extent, other), (mark, text)


def test_black_text_is_on_white_and_white_text_on_black(case):
    """White text lies inside one black mark; black text touches none."""
    for leaf in case.leaves:
        marks = leaf.marks()
        black = [extent for mark, extent in marks if isinstance(mark, Box | Disc | Shape) and mark.fill == "black"]
        black += [extent for mark, extent in marks if isinstance(mark, Bars)]
        for mark, extent in marks:
            if isinstance(mark, Text):
                touching = [other for other in black if _cross(extent, other)]
                if mark.is_white:
                    assert any(_within(extent, (a - 0.6, b - 0.6, c + 0.6, d + 0.6)) for a, b, c, d in touching), mark
                else:
                    assert not touching, mark


def test_the_quiet_zone_of_every_bar_code_is_free(case):
    """No other mark reaches into the bars or the ten modules beside them, which lie inside the page."""
    found = 0
    for leaf in case.leaves:
        marks = leaf.marks()
        for bars, (left, top, right, bottom) in marks:
            if isinstance(bars, Bars):
                found += 1
                quiet = 10 * bars.module_mm
                zone = (left - quiet, top, right + quiet, bottom)

                assert zone[0] >= 0
                assert zone[2] <= leaf.size.width_mm
                for mark, extent in marks:
                    if mark is not bars and not isinstance(mark, Box):
                        assert not _cross(zone, extent), mark
                    elif isinstance(mark, Box):
                        assert not _cross(zone, extent) or (_within(zone, extent) and mark.fill == "none"), mark

    assert found


def test_bars_are_whole_dots_and_high_enough(case):
    """A module is two or more whole dots of the printer; bars are at least 5 mm and 15 % of the symbol high."""
    dot = 25.4 / 300
    for leaf in case.leaves:
        for mark, _ in leaf.marks():
            if isinstance(mark, Bars):
                dots = mark.module_mm / dot
                width = (len(mark.symbol) + 20) * mark.module_mm

                assert abs(dots - round(dots)) < 1e-9
                assert dots >= 2
                assert mark.height_mm >= max(5.0, 0.15 * width) - 1e-9


def test_every_page_says_page_x_of_y(case):
    """Each page of a document says which it is and how many there are; a label is its own page."""
    if "label" in case.name:
        return
    pages = len(case.leaves)

    for number, text in enumerate(case.texts, start=1):
        assert re.findall(r"page(\d+)of(\d+)", text)[-1] == (str(number), str(pages))


def test_map_discs_do_not_overlap(cases):
    """Black discs of one map keep apart, with forty stops in ten aisles and with sixty in a crowd."""
    for name in ("extreme forty stops A4", "extreme crowd A4", "extreme four hundred stops Letter"):
        plan = [
            (mark, extent)
            for mark, extent in cases[name].leaves[0].marks()
            if isinstance(mark, Disc | Box) and mark.fill == "black" and extent[3] - extent[1] < 8
        ]

        assert len(plan) > 5
        for (a, here), (b, there) in combinations(plan, 2):
            if isinstance(a, Disc) and isinstance(b, Disc):
                apart = ((a.x_mm - b.x_mm) ** 2 + (a.y_mm - b.y_mm) ** 2) ** 0.5
                assert apart >= a.radius_mm + b.radius_mm
            else:
                assert not _cross(here, there)
