"""Letters of other scripts: shaped as independent shapers do, readable in the order in which they are said."""

import io
import unicodedata
import zlib
from typing import Any

import numpy as np
import pypdfium2
import pytest
import uharfbuzz
from PIL import Image, ImageDraw, ImageFont, features

from fulfil.papers.door import leaves, pdf
from fulfil.papers.faces import DESCENT, MM_PER_POINT, Face, printable, width_mm
from fulfil.papers.scripts.glyph_fonts import _cut
from fulfil.papers.scripts.shaping import Script, font_bytes, font_of, runs, size_of_script, used_glyphs
from fulfil.papers.wrap import lines
from fulfil.records.settings import Paper
from tests.papers import geometry, invented

ADDRESSES = {
    "JP": ("サンプル 太郎", "〒530-0000", "大阪府大阪市北区例町1-2-3", "JAPAN"),
    "KR": ("홍길동 (예시)", "서울특별시 중구 견본로 12", "04500", "SOUTH KOREA"),
    "IL": ("שרה לדוגמה", "רחוב הדוגמה 5", "3100000 חיפה", "ISRAEL"),
    "EG": ("محمد مثال", "١٢ شارع المثال", "القاهرة 11511", "EGYPT"),
    "TH": ("สมชาย ตัวอย่าง", "99/1 ถนนตัวอย่าง", "กรุงเทพมหานคร 10200", "THAILAND"),
    "IN": ("राजेश उदाहरण", "12 नमूना मार्ग, क्षेत्र", "नई दिल्ली 110001", "INDIA"),
    "CN": ("张示例", "示例路 12 号", "北京市 100000", "CHINA"),
}
"""Invented people and streets, in the letters of their country."""


def texts(file: bytes) -> str:
    """What an independent reader (PDFium) finds."""
    document = pypdfium2.PdfDocument(file)
    found = "\n".join(page.get_textpage().get_text_range() for page in document)
    document.close()
    return found.replace("\r\n", "\n")


@pytest.mark.parametrize("country", ADDRESSES)
def test_an_address_is_read_back_line_by_line_in_logical_order(country: str) -> None:
    """Label and list, read by PDFium: each line as it is said, right-to-left ones too; sound pages, twice alike."""
    to_lines = ADDRESSES[country]
    for sheet in (invented.package_label(to_lines=to_lines), invented.packing_list(to_lines=to_lines)):
        geometry.assert_all(leaves([sheet], page=Paper.A4))
        file = pdf([sheet], page=Paper.A4)
        found = texts(file)
        for line in to_lines:
            assert unicodedata.normalize("NFC", line) in unicodedata.normalize("NFC", found)
        assert pdf([sheet], page=Paper.A4) == file


@pytest.mark.parametrize("country", ["IL", "EG"])
def test_a_line_from_right_to_left_begins_at_its_right(country: str) -> None:
    """The first letter of the name is right of all the others, as printed."""
    name = ADDRESSES[country][0]
    page = pypdfium2.PdfDocument(pdf([invented.package_label(to_lines=(name, "SAMPLELAND"))], page=Paper.A4))[0]
    text = page.get_textpage()
    start = text.get_text_range().index(name)
    lefts = [text.get_charbox(start + i)[0] for i in range(len(name)) if name[i] != " "]

    assert max(lefts) == lefts[0]
    assert lefts == sorted(lefts, reverse=True)


SHAPED = [
    ("สมชาย", Script.THAI),
    ("กรุงเทพมหานคร", Script.THAI),
    ("ที่อยู่", Script.THAI),
    ("क्षेत्र", Script.DEVANAGARI),
    ("दिल्ली", Script.DEVANAGARI),
    ("홍길동", Script.CJK),
    ("大阪府", Script.CJK),
]


@pytest.mark.skipif(not features.check("raqm"), reason="needs Pillow with libraqm, the reference shaper")
@pytest.mark.parametrize(("word", "script"), SHAPED)
def test_a_word_is_as_wide_as_the_reference_shaper_makes_it(word: str, script: Script) -> None:
    """Libraqm (in Pillow's wheels) shapes the same font file; widths agree to a hundredth of the type size."""
    font = ImageFont.truetype(io.BytesIO(font_bytes(script, False)), 200, layout_engine=ImageFont.Layout.RAQM)
    (run,) = runs(word, is_bold=False)

    assert run.width / size_of_script(script) == pytest.approx(font.getlength(word) / 200, abs=0.01)


def test_signs_stand_where_the_scripts_want_them() -> None:
    """The Unicode Standard, ch. 12.1 and 16.1 (from memory).

    The vowel sign i is written before its consonant, ksha is one conjunct; Thai marks stand over or under their
    consonant and take no room of their own.
    """
    (ki,), (ka,), (ksha,) = (runs(text, is_bold=False) for text in ("कि", "क", "क्ष"))
    (ku,), (k,) = (runs(text, is_bold=False) for text in ("กุ", "ก"))

    assert ki.glyphs[-1].number == ka.glyphs[0].number
    assert len(ksha.glyphs) == 1
    assert ku.width == k.width
    assert len(ku.glyphs) == 2


def test_what_is_printed_is_what_the_font_draws() -> None:
    """A line of Korean, rendered from the file, against Pillow's drawing of it: nine of ten black dots agree."""
    word = "서울특별시"
    sheet = invented.package_label(to_lines=(word, "SAMPLELAND"))
    (leaf,) = leaves([sheet], page=Paper.A4)
    ((mark, (left, top, right, bottom)),) = [pair for pair in leaf.marks() if getattr(pair[0], "text", "") == word]
    per_mm = 300 / 25.4
    page = pypdfium2.PdfDocument(pdf([sheet], page=Paper.A4))[0].render(scale=300 / 72, grayscale=True).to_pil()
    box = [round(edge * per_mm) for edge in (left - 1, top - 2, right + 1, bottom + 2)]
    seen = page.convert("L").crop(box)
    size = mark.size_pt * MM_PER_POINT * per_mm * size_of_script(Script.CJK)
    drawn = Image.new("L", seen.size, 255)
    font = ImageFont.truetype(io.BytesIO(font_bytes(Script.CJK, False)), size)
    at = ((1.0 * per_mm), (bottom - DESCENT * mark.size_pt * MM_PER_POINT - top + 2) * per_mm)
    ImageDraw.Draw(drawn).text(at, word, fill=0, font=font, anchor="ls", stroke_width=1)
    ours, theirs = (np.asarray(image) < 128 for image in (seen, drawn))

    assert (ours & theirs).sum() / theirs.sum() > 0.9


def test_long_lines_break_between_letters_and_never_inside_one() -> None:
    """Japanese without spaces wraps; a Thai consonant keeps its marks, a conjunct stays whole."""
    for text in ("大阪府大阪市北区例町見本通" * 3, "กรุงเทพมหานครที่อยู่" * 4, "क्षेत्रक्षेत्र" * 6):
        wrapped = lines(text, Face.TEXT, 10, 40)

        assert len(wrapped) > 1
        assert "".join(wrapped) == text
        assert all(width_mm(line, Face.TEXT, 10) <= 40 for line in wrapped)
        assert all(unicodedata.category(line[0])[0] != "M" for line in wrapped)


def test_every_modern_syllable_and_kana_is_there() -> None:
    """11,172 Hangul syllables, the kana, and the first level of Japanese ideographs: none is refused."""
    for first, last in ((0xAC00, 0xD7A3), (0x3041, 0x3093), (0x30A1, 0x30F6), (0x4E00, 0x9FA5)):
        text = "".join(map(chr, range(first, last + 1)))
        assert printable(text, Face.TEXT) == text


@pytest.mark.parametrize(
    ("script", "text"), [(Script.CJK, "大阪市 서울"), (Script.THAI, "กรุงเทพ"), (Script.DEVANAGARI, "क्षेत्र")]
)
def test_a_cut_font_has_the_signs_that_are_used_and_no_others(script: Script, text: str) -> None:
    """Their outlines are as large as in the whole font, by their numbers there; the rest is empty; twice the same."""
    numbers = tuple(sorted(used_glyphs(runs(text, is_bold=False))))
    (packed, length), box, ascent, descent = _cut(script, False, numbers)
    raw = zlib.decompress(packed)
    whole, cut = uharfbuzz.Font(font_of(script, False)), uharfbuzz.Font(uharfbuzz.Face(raw))
    other = next(i for i in range(max(numbers), 0, -1) if i not in numbers and _size(whole, i) != (0, 0))

    assert len(raw) == length < len(font_bytes(script, False)) / 4
    assert [_size(cut, i) for i in numbers] == [_size(whole, i) for i in numbers]
    assert _size(cut, other) == (0, 0)
    assert (box[0], box[1]) < (box[2], box[3])
    assert descent < 0 < ascent
    assert _cut.__wrapped__(script, False, numbers)[0][0] == packed


def _size(font: Any, number: int) -> tuple[int, int]:
    """How wide and high a sign's outline is, in the font's units."""
    extents = font.get_glyph_extents(number)
    return (0, 0) if extents is None else (extents.width, extents.height)
