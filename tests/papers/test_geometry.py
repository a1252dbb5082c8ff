"""Geometry of every paper, usual and extreme: measured on the marks that are drawn, not on a picture."""

import re
from itertools import combinations

from fulfil.papers.ink import Bars, Box, Disc
from tests.papers import geometry


def test_nothing_leaves_the_margins(case):
    """Every mark of every page lies inside the page's margins."""
    geometry.assert_inside_margins(case.leaves)


def test_no_text_is_smaller_than_seven_points(case):
    """Nothing is set under 7 pt."""
    geometry.assert_readable_sizes(case.leaves)


def test_no_text_lies_on_another(case):
    """No two texts of a page overlap."""
    geometry.assert_no_text_on_text(case.leaves)


def test_black_text_is_on_white_and_white_text_on_black(case):
    """White text lies inside one black mark; black text touches none."""
    geometry.assert_black_on_white(case.leaves)


def test_the_quiet_zone_of_every_bar_code_is_free(case):
    """No other mark reaches into the bars or the ten modules beside them, which lie inside the page."""
    geometry.assert_quiet_zones(case.leaves)


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
                assert not geometry.cross(here, there)
