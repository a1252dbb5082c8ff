"""The calibration page: rulers are as long as they say, every rung is whole dots and reads as itself."""

import numpy as np
import pypdfium2
import pytest
import zxingcpp

from fulfil.papers.bench import calibration
from fulfil.papers.ink import Bars, Strokes
from fulfil.papers.preview import pictures
from fulfil.records.settings import Paper
from tests.papers import geometry


@pytest.mark.parametrize("page", list(Paper))
def test_the_page_is_sound(page):
    """One page, nothing overlaps, all inside the margins."""
    leaves = calibration.leaves(page=page)

    assert len(leaves) == 1
    geometry.assert_all(leaves)


def test_both_rulers_are_100_mm():
    """The longest line of each ruler, across and down."""
    (leaf,) = calibration.leaves(page=Paper.A4)
    lines = [
        line
        for mark, _ in leaf.marks()
        if isinstance(mark, Strokes)
        for line in mark.lines
        if len(mark.lines) > 50 and len(line) == 2
    ]
    across = max(abs(b[0] - a[0]) for a, b in lines)
    down = max(abs(b[1] - a[1]) for a, b in lines)

    assert (across, down) == (100.0, 100.0)


def test_every_rung_is_as_many_dots_as_its_name_says():
    """203-2 is two dots of 25.4/203 mm, and so on; ladders rise."""
    (leaf,) = calibration.leaves(page=Paper.A4)
    rungs = [mark for mark, _ in leaf.marks() if isinstance(mark, Bars) and mark.text[0].isdigit()]

    assert len(rungs) == 12
    for rung in rungs:
        dpi, dots = map(int, rung.text.split("-"))
        assert rung.module_mm * dpi / 25.4 == pytest.approx(dots)


def test_every_rung_is_read_from_a_fine_print():
    """Drawn at 1200 dpi, all twelve rungs and the line of signs are read by an independent reader."""
    document = pypdfium2.PdfDocument(calibration.pdf(page=Paper.A4))
    bitmap = document[0].render(scale=1200 / 72, grayscale=True)
    pixels = np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width)
    bitmap.close()
    document.close()
    read = {found.text for found in zxingcpp.read_barcodes(pixels)}

    assert "*-/@#09AZ" in read
    assert {f"{dpi}-{dots}" for dpi, dots in ((203, 1), (203, 2), (300, 3), (600, 4), (600, 8))} <= read


def test_a_label_of_each_size_follows():
    """The second page is a bag label with a frame on its margins."""
    made = pictures(calibration.pdf(page=Paper.LETTER), dpi=50)

    assert len(made) == 2
