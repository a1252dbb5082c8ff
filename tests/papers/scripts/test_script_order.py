"""Names in Hebrew and Arabic letters: in the order in which they are read, joined, as wide as they are printed."""

import unicodedata

import pypdfium2
import pytest

from fulfil.papers.door import pdf
from fulfil.papers.faces import Face, printable, width_mm
from fulfil.papers.scripts.script_order import as_seen
from fulfil.records.settings import Paper
from tests.papers import invented

HEBREW = str.maketrans("ACEHIMNRST", "אבגדהוזחטי")
"""Capitals stand for letters that run from right to left, as in the annex."""


@pytest.mark.parametrize(
    ("memory", "display"),
    [
        ("car means CAR.", "car means RAC."),
        ("he said THE CAR 123, 456", "he said 456 ,123 RAC EHT"),
        ("CAR 12", "12 RAC"),
        ("CAR (HERE) 5", "5 (EREH) RAC"),
    ],
)
def test_the_order_of_the_bidirectional_algorithm(memory: str, display: str) -> None:
    """The first is an example of Unicode Standard Annex 9, rule L2 (from memory); the others follow its rules by hand.

    Numbers keep their own order (W and N rules), also inside a run from right to left, and brackets are mirrored (L4).
    """
    assert as_seen(memory.translate(HEBREW)) == display.translate(HEBREW)


def test_arabic_letters_take_the_form_of_their_place() -> None:
    """Meem, hah, meem, dal: initial, medial, medial, final, seen from the left the other way round.

    Source: the names of the characters in the Unicode Character Database (``unicodedata``).
    """
    seen = [unicodedata.name(letter) for letter in as_seen("محمد")]

    assert seen == [
        "ARABIC LETTER DAL FINAL FORM", "ARABIC LETTER MEEM MEDIAL FORM", "ARABIC LETTER HAH MEDIAL FORM",
        "ARABIC LETTER MEEM INITIAL FORM",
    ]  # fmt: skip
    assert width_mm("محمد", Face.TEXT, 10) < sum(width_mm(letter, Face.TEXT, 10) for letter in "محمد")


@pytest.mark.parametrize(
    "name", ["שרה לוי", "محمد علي", "سلام الله", "پژوهش گچ", "בע״מ (תל אביב) 5", "Ahmed أحمد GmbH"]
)
def test_names_are_printed_in_both_faces_of_text(name: str) -> None:
    """Hebrew, Arabic and Persian letters, brackets and figures; nothing is a box or a blank."""
    for face in (Face.TEXT, Face.BOLD):
        assert printable(name, face) == name


def test_the_first_letter_stands_rightmost_on_the_paper() -> None:
    """On a packing list the alef of 'אבג' is right of its bet, the bet right of its gimel."""
    raw = pdf([invented.packing_list(to_lines=("אבג", "SAMPLELAND"))], page=Paper.A4)
    page = pypdfium2.PdfDocument(raw)[0].get_textpage()
    at = {page.get_text_range(place, 1): page.get_charbox(place)[0] for place in range(page.count_chars())}

    assert at["א"] > at["ב"] > at["ג"]
