"""Labels as dots: bar codes on whole dots are read back from what a printer is sent, in each of its languages."""

import re

import pypdfium2
import pytest
import zxingcpp
from PIL import Image, ImageOps

from fulfil.errors import PaperRefused
from fulfil.papers.door import leaves
from fulfil.papers.ink import Bars
from fulfil.papers.page import LabelSize
from fulfil.papers.raster.dots import dots
from fulfil.papers.raster.languages import LANGUAGES, written
from fulfil.papers.raster.media import media
from fulfil.records.settings import Paper
from tests.papers import invented

LABEL = invented.bag_label(bag_code="B2603020004", order_number="260302-079")


def drawn(dpi, size=LabelSize.BAG_60_40):
    """The label made for a resolution, as its dots."""
    (leaf,) = leaves([LABEL], page=Paper.A4, size=size, printer_dpi=dpi)
    return dots(leaf, dpi)


def sent_back(language, content, dpi):
    """The picture that a printer would draw of what it was sent, by each command's own description."""
    if language == "picture":
        return pypdfium2.PdfDocument(content)[0].render(scale=dpi / 72, grayscale=True).to_pil().convert("L")
    if language == "zpl":
        count, row, digits = re.search(rb"\^GFA,(\d+),\d+,(\d+),([0-9A-F]+)\^FS", content).groups()
        raw = bytes(byte ^ 0xFF for byte in bytes.fromhex(digits.decode()))
        assert len(raw) == int(count)
        return Image.frombytes("1", (int(row) * 8, len(raw) // int(row)), raw).convert("L")
    command = rb"GW0,0,(\d+),(\d+)," if language == "epl" else rb"BITMAP 0,0,(\d+),(\d+),0,"
    found = re.search(command, content)
    row, high = map(int, found.groups())
    return Image.frombytes("1", (row * 8, high), content[found.end() : found.end() + row * high]).convert("L")


def read(image):
    """Every bar code of a picture; white paper is around it."""
    return {one.text for one in zxingcpp.read_barcodes(ImageOps.expand(image, 20, fill=255))}


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("dpi", [203, 300])
def test_what_a_printer_is_sent_is_read_back(language, dpi):
    """The bag's number is read from the dots of every language; the same label gives the same bytes."""
    content = written(language, [drawn(dpi)])

    assert read(sent_back(language, content, dpi)) == {"B2603020004"}
    assert content == written(language, [drawn(dpi)])


@pytest.mark.parametrize("dpi", [203, 300, 600])
def test_every_bar_is_a_whole_number_of_dots(dpi):
    """Across the middle of the bars, all runs of one colour are multiples of the narrowest one (ISO/IEC 15417)."""
    (leaf,) = leaves([LABEL], page=Paper.A4, size=LabelSize.BAG_60_40, printer_dpi=dpi)
    ((bars, (left, top, right, bottom)),) = [pair for pair in leaf.marks() if isinstance(pair[0], Bars)]
    page, per_mm = dots(leaf, dpi), 8 if dpi == 203 else dpi / 25.4
    y = round((top + bottom) / 2 * per_mm)
    row = "".join(str(int(page.is_black(x, y))) for x in range(round(left * per_mm), round(right * per_mm)))
    runs = [len(run[0]) for run in re.finditer(r"(.)\1*", row.strip("0"))]
    narrow = round(bars.module_mm * per_mm)

    assert narrow >= 2
    assert {run % narrow for run in runs} == {0}
    assert max(runs) <= 4 * narrow


def test_bars_of_another_printer_are_refused_in_words():
    """Three dots at 300 dpi are 2.03 at 203: not drawn unevenly, but refused."""
    (leaf,) = leaves([LABEL], page=Paper.A4, size=LabelSize.BAG_60_40, printer_dpi=300)

    with pytest.raises(PaperRefused, match=r"whole dots or more at 203 dpi, not of 2\.03 dots"):
        dots(leaf, 203)


def test_a_number_that_the_dots_cannot_carry_is_refused():
    """Two dots at 203 dpi are 0.25 mm: a number of 24 letters needs 80 mm, the label has 56."""
    label = invented.bag_label(bag_code="ABCDEFGHIJKLMNOPQRSTUVWX")

    with pytest.raises(PaperRefused, match=r"at 203 dpi it needs 80 mm"):
        leaves([label], page=Paper.A4, size=LabelSize.BAG_60_40, printer_dpi=203)


def test_a_sheet_of_ready_cut_labels_has_its_maker_s_places():
    """Corner and steps as measured; labels beyond the sheet are refused; there are no lines to cut along."""
    lies_in = media("60x40 on A4: 3 x 6 at 10,12 step 64,45")
    (leaf,) = leaves([LABEL] * 4, page=Paper.A4, on_sheets=True, size=lies_in.size, grid=lies_in.grid)
    lefts = [extent[:2] for mark, extent in leaf.marks() if isinstance(mark, Bars)]

    assert [round(x - lefts[0][0], 6) for x, _ in lefts] == [0, 64, 128, 0]
    assert [round(y - lefts[0][1], 6) for _, y in lefts] == [0, 0, 0, 45]
    with pytest.raises(PaperRefused, match="labels inside 210 x 297 mm, not up to 240 x"):
        media("60x40 on A4: 4 x 6 at 0,12")


def test_dots_are_moved_by_what_a_printer_is_off():
    """Two millimetres to the right at 203 dpi are 16 dots."""
    (leaf,) = leaves([LABEL], page=Paper.A4, size=LabelSize.BAG_60_40, printer_dpi=203)
    plain, moved = dots(leaf, 203).image().convert("L"), dots(leaf, 203, right_mm=2).image().convert("L")

    assert ImageOps.invert(moved).getbbox()[0] - ImageOps.invert(plain).getbbox()[0] == 16
