"""Every bar code, read back from the rendered page by an independent decoder (zxing-cpp, rendered by pypdfium2)."""

from functools import partial

import numpy as np
import pypdfium2
import pytest
import zxingcpp
from fulfil_demo_catalog.samples.papers import CALIBRATION, SAMPLES

from fulfil.papers.bench import calibration
from fulfil.papers.door import leaves, pdf
from fulfil.papers.ink import Bars
from fulfil.papers.render import render
from fulfil.records.settings import Paper
from tests.papers import invented

DPI = 300


def _decode(pixels):
    found = zxingcpp.read_barcodes(
        np.ascontiguousarray(pixels), formats=zxingcpp.BarcodeFormats(zxingcpp.BarcodeFormat.Code128)
    )
    return sorted(each.text for each in found)


def test_every_bar_code_reads_as_its_number(case):
    """At 300 dpi a page (the first two of each paper) gives exactly the numbers that were drawn on it."""
    for page, leaf in enumerate(case.leaves[:2]):
        numbers = sorted(mark.text for mark, _ in leaf.marks() if isinstance(mark, Bars))

        assert _decode(case.picture(page, DPI)) == numbers


def test_the_quiet_zone_suffices_on_dark_ground(case):
    """Cut out with its quiet zone only and laid on black, the symbol still reads."""
    leaf = case.leaves[0]
    pixels = case.picture(0, DPI)
    scale = DPI / 25.4
    for mark, (left, top, right, bottom) in leaf.marks():
        if isinstance(mark, Bars):
            quiet = 10 * mark.module_mm
            cut = pixels[
                round(top * scale) : round(bottom * scale),
                round((left - quiet) * scale) : round((right + quiet) * scale),
            ]
            dark = np.zeros((cut.shape[0] + 200, cut.shape[1] + 400), dtype=np.uint8)
            dark[100 : 100 + cut.shape[0], 200 : 200 + cut.shape[1]] = cut

            assert _decode(dark) == [mark.text]


def test_documents_carry_their_number_on_every_page(cases):
    """The document number of a paper is in bars on each of its pages, so that a single sheet finds its document."""
    case = cases["pick_list A4"]

    assert len(case.leaves) > 2
    for page in range(len(case.leaves)):
        assert _decode(case.picture(page, DPI)) == [case.sheets[0].document_number]


@pytest.mark.parametrize("name", sorted({*SAMPLES, CALIBRATION}))
def test_every_paper_made_for_203_dpi_reads_at_203_dpi(name):
    """Printed by the coarser of the usual label printers, every bar code is read from that printer's own dots.

    The calibration page says itself which of its rungs that is.
    """
    drawn_at = calibration.leaves if name == CALIBRATION else partial(SAMPLES[name].leaves, printer_dpi=203)
    pages = drawn_at(page=Paper.A4)[:1]
    document = pypdfium2.PdfDocument(render(pages, title=name, author="fulfil", language="en"))
    bitmap = document[0].render(scale=203 / 72, grayscale=True)
    read = _decode(np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width))
    drawn = sorted(mark.text for leaf in pages for mark, _ in leaf.marks() if isinstance(mark, Bars))

    if name == CALIBRATION:
        assert {"203-2", "203-3", "203-4", "300-4"} <= set(read) <= set(drawn)
    else:
        assert [text.replace("\x1d", "") for text in read] == drawn or name == "logistic-label"
        assert len(read) == len(drawn)


def test_bag_labels_read_at_203_dpi():
    """A label made for a 203 dpi printer has modules of whole 0.125 mm dots and reads at that resolution."""
    from fulfil.papers.page import LabelSize

    for size in (LabelSize.BAG_60_40, LabelSize.BAG_50_25):
        made = leaves(invented.bag_labels()[:3], page=Paper.A4, size=size, printer_dpi=203)
        for leaf in made:
            modules = [mark.module_mm for mark, _ in leaf.marks() if isinstance(mark, Bars)]

            assert modules == [0.25]


def test_a_sheet_of_labels_reads_whole():
    """All labels of a sheet are found on it, and each only once."""
    labels = [invented.bag_label(i) for i in range(1, 22)]
    for page in Paper:
        document = pypdfium2.PdfDocument(pdf(labels, page=page, on_sheets=True))
        found = []
        for sheet in document:
            bitmap = sheet.render(scale=DPI / 72, grayscale=True)
            found += _decode(np.array(bitmap.to_numpy()).reshape(bitmap.height, bitmap.width))
            bitmap.close()
            sheet.close()
        document.close()

        assert sorted(found) == sorted(label.bag_code for label in labels)
