"""Pictures of PDF pages: as many as pages, as large as asked, never of something else."""

from io import BytesIO

import pytest
from PIL import Image

from fulfil.errors import PaperRefused
from fulfil.papers.door import pdf
from fulfil.papers.preview import pictures
from fulfil.records.settings import Paper
from tests.papers import invented


def test_a_page_is_as_large_as_its_paper():
    """A4 at 100 dpi is 827 by 1170 picture elements, in grey; two runs give the same bytes."""
    file = pdf([invented.pick_list(6)], page=Paper.A4)
    made = pictures(file, dpi=100)
    image = Image.open(BytesIO(made[0]))

    assert image.mode == "L"
    assert abs(image.width - 210 / 25.4 * 100) <= 1
    assert abs(image.height - 297 / 25.4 * 100) <= 1
    assert made == pictures(file, dpi=100)
    assert len(pictures(file, dpi=50, pages=[1])) == 1


@pytest.mark.parametrize(
    ("file", "more", "says"),
    [
        (b"no pdf", {}, "expected a PDF file"),
        (None, {"dpi": 5}, "Cannot show a page at '5 dpi': expected 20 to 1200 dpi."),
        (None, {"pages": [99]}, "Cannot show page '99': expected a page from 1 to"),
    ],
)
def test_what_can_t_be_shown_is_refused(file, more, says):
    """Something else than a PDF file, an odd resolution, a page that isn't there."""
    with pytest.raises(PaperRefused, match=says):
        pictures(file or pdf([invented.pick_list(2)], page=Paper.A4), **more)
