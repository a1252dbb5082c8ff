"""The file itself: reprints, metadata, fonts, colour."""

import numpy as np
import pytest

from tests.papers import invented


def test_the_same_sheet_gives_the_same_bytes(case):
    """A reprint is the same file, byte for byte."""
    assert case.write() == case.pdf


def test_title_author_and_language_are_set(case, open_pdf):
    """A reader and a screen reader learn what the file is, whose, and in which language."""
    file = open_pdf(case.pdf)
    sheet = getattr(case.sheets[0], "label", case.sheets[0])
    named = (getattr(sheet, name, "") for name in ("document_number", "package_number", "slip_number", "walk_number"))
    number = next((number for number in named if number), "") or sheet.bin_code

    assert number in file.metadata.title
    assert file.metadata.author
    assert file.trailer["/Root"]["/Lang"] == "en"


def test_all_fonts_are_embedded(case, open_pdf):
    """No page relies on a font of the reader's machine."""
    file = open_pdf(case.pdf)
    used = {font for page in file.pages for font in (page["/Resources"].get("/Font") or {}).values()}

    assert used
    for font in used:
        descriptor = font.get_object().get("/FontDescriptor")
        assert descriptor is not None, font.get_object()
        assert "/FontFile2" in descriptor.get_object()


@pytest.mark.parametrize("name", ["pick_list A4", "extreme unbalanced day A4", "bag_label 60x40"])
def test_papers_are_black_and_white(cases, name):
    """Nothing but black, white and the grey of smoothed edges: in colour, no pixel has a hue."""
    import pypdfium2

    document = pypdfium2.PdfDocument(cases[name].pdf)
    page = document[0]
    bitmap = page.render(scale=1)
    pixels = np.array(bitmap.to_numpy())[:, :, :3].astype(int)
    bitmap.close()
    page.close()
    document.close()

    assert (pixels.max(axis=2) - pixels.min(axis=2)).max() == 0


def test_several_sheets_make_one_file_with_their_own_page_counts(read_text):
    """Two pick lists in one file count their pages apart."""
    from fulfil.papers.door import pdf
    from fulfil.records.settings import Paper

    one, two = invented.pick_list(8), invented.pick_list(2, document_number="PL-250304-08", route_map=None)
    texts = read_text(pdf([one, two], page=Paper.A4))

    assert "page1of2" in texts[0]
    assert texts[-1].endswith("page1of1")
