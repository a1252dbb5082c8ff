"""What must hold on every page, asserted on the marks that are drawn."""

from fulfil.papers.ink import Bars, Box, Disc, Shape, Strokes, Text
from fulfil.papers.wrap import LEAST_PT

ROUNDING_MM = 0.01


def cross(a, b, by=0.02):
    """Whether two extents overlap by more than ``by`` mm."""
    return a[0] < b[2] - by and b[0] < a[2] - by and a[1] < b[3] - by and b[1] < a[3] - by


def within(inner, outer):
    """Whether one extent lies in the other."""
    return inner[0] >= outer[0] and inner[1] >= outer[1] and inner[2] <= outer[2] and inner[3] <= outer[3]


def assert_inside_margins(leaves):
    """Every mark lies inside the page's margins."""
    for leaf in leaves:
        size = leaf.size
        for mark, (left, top, right, bottom) in leaf.marks():
            slack = ROUNDING_MM + (mark.line_mm / 2 if isinstance(mark, Strokes | Box) else 0)

            assert left >= size.side_mm - slack, mark
            assert top >= size.top_mm - slack, mark
            assert right <= size.width_mm - size.side_mm + slack, mark
            assert bottom <= size.height_mm - size.bottom_mm + slack, mark


def assert_readable_sizes(leaves):
    """Nothing is set under 7 pt."""
    sizes = [mark.size_pt for leaf in leaves for mark, _ in leaf.marks() if isinstance(mark, Text)]

    assert sizes
    assert min(sizes) >= LEAST_PT


def assert_no_text_on_text(leaves):
    """No two texts of a page overlap."""
    for leaf in leaves:
        texts = sorted(
            ((extent, mark) for mark, extent in leaf.marks() if isinstance(mark, Text)), key=lambda each: each[0][1]
        )
        for i, (extent, mark) in enumerate(texts):
            for other, text in texts[i + 1 :]:
                if other[1] >= extent[3]:
                    break

                assert not cross(extent, other), (mark, text)


def assert_black_on_white(leaves):
    """White text lies inside one black mark; black text touches none."""
    for leaf in leaves:
        marks = leaf.marks()
        black = [extent for mark, extent in marks if isinstance(mark, Box | Disc | Shape) and mark.fill == "black"]
        black += [extent for mark, extent in marks if isinstance(mark, Bars)]
        for mark, extent in marks:
            if isinstance(mark, Text):
                touching = [other for other in black if cross(extent, other)]
                if mark.is_white:
                    assert any(within(extent, (a - 0.6, b - 0.6, c + 0.6, d + 0.6)) for a, b, c, d in touching), mark
                else:
                    assert not touching, mark


def assert_quiet_zones(leaves):
    """No other mark reaches into bars or the ten modules beside them, which lie inside the page."""
    found = 0
    for leaf in leaves:
        marks = leaf.marks()
        for bars, (left, top, right, bottom) in marks:
            if isinstance(bars, Bars):
                found += 1
                quiet = 10 * bars.module_mm
                zone = (left - quiet, top, right + quiet, bottom)

                assert zone[0] >= 0
                assert zone[2] <= leaf.size.width_mm
                for mark, extent in marks:
                    if mark is not bars:
                        assert not cross(zone, extent), mark

    assert found


def assert_all(leaves):
    """All of the above."""
    assert_inside_margins(leaves)
    assert_readable_sizes(leaves)
    assert_no_text_on_text(leaves)
    assert_black_on_white(leaves)
    assert_quiet_zones(leaves)
