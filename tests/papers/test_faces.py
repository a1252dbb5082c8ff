"""Faces: what can be printed is printed, what can't is refused by name."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import PaperRefused
from fulfil.papers.door import pdf
from fulfil.papers.faces import MM_PER_POINT, Face, loaded, printable, width_mm
from fulfil.records.settings import Paper
from tests.papers import invented


@pytest.mark.parametrize(
    "text", ["Zażółć gęślą jaźń", "Ξεσκεπάζω ψυχοφθόρα", "Съешь ещё этих", "Þórður Æðey", "ŐŰőű ĂȘȚ"]
)
def test_polish_greek_cyrillic_and_other_letters_print(text):
    """Latin, Greek and Cyrillic names are in all three faces."""
    for face in Face:
        assert printable(text, face) == text


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("አዲስ 1-2-3", "'አ' (ETHIOPIC SYLLABLE GLOTTAL A)"),
        ("சென்னை", "'ச' (TAMIL LETTER CA)"),
        ("東\U00020000", "'\U00020000' (CJK UNIFIED IDEOGRAPH-20000)"),
        ("two\nlines", "'\n' (U+000A)"),
    ],
)
def test_other_scripts_are_refused_by_name(text, named):
    """A character that would print blank, boxed or backwards stops the paper, with its name and the remedy."""
    with pytest.raises(PaperRefused) as refused:
        printable(text, Face.TEXT)

    assert f"'{text}'" in str(refused.value)
    assert named in str(refused.value)
    assert "write this text in Latin, Greek or Cyrillic letters" in str(refused.value)


def test_characters_that_no_one_can_see_print_nothing(read_text):
    """A zero-width space pasted into a name neither stops the paper nor leaves a mark."""
    name = "Zo\u200bfia\ufeff Przy\u00adkładowa"
    (text,) = read_text(pdf([invented.packing_list(to_lines=(name, "POLAND"))], page=Paper.A4))

    assert "ZofiaPrzykładowa" in text
    assert width_mm(name, Face.TEXT, 10) == width_mm("Zofia Przykładowa", Face.TEXT, 10)


def test_a_paper_with_such_a_name_is_refused_whole():
    """Neither a document nor a label is made with a hole in the address."""
    lines = ("አዲስ", "ETHIOPIA")
    with pytest.raises(PaperRefused, match="አዲስ"):
        pdf([invented.packing_list(to_lines=lines)], page=Paper.A4)
    with pytest.raises(PaperRefused, match="አዲስ"):
        pdf([invented.package_label(to_lines=lines)], page=Paper.A4)


@given(st.text(st.sampled_from("AÅłΩЖ 0189.,–g"), max_size=30), st.sampled_from(list(Face)))
def test_widths_are_those_of_the_pdf_library(text, face):
    """The measured width is the width that the PDF library itself computes for the embedded font."""
    from reportlab.pdfbase.pdfmetrics import stringWidth

    expected = stringWidth(text, loaded(face).name, 10) * MM_PER_POINT

    assert width_mm(text, face, 10) == pytest.approx(expected, abs=1e-9)
