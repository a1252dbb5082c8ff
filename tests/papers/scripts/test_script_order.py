"""Names in Hebrew and Arabic letters: in the order in which they are read, joined, as wide as they are printed."""

import unicodedata
from dataclasses import replace

import pypdfium2
import pytest
from fulfil_demo_catalog.samples.orders import partial_note

from fulfil.papers.door import leaves, pdf
from fulfil.papers.faces import Face, printable, width_mm
from fulfil.papers.ink import Shape
from fulfil.papers.phrases import partial_note_words, translations
from fulfil.papers.scripts.script_order import as_seen
from fulfil.records.settings import Paper
from tests.papers import geometry, invented

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


@pytest.mark.parametrize("before", ["طلب", "הזמנה"])
def test_an_order_number_keeps_its_order(before: str) -> None:
    """In a line of Arabic or Hebrew; a reader would look for order 017-260302 in vain.

    Unicode Standard Annex 9, rules W2 and W4 (from memory), turn the first of them without a mark around the number.
    """
    assert as_seen(f"{before} 260302-017.").startswith(".260302-017 ")
    assert as_seen(f"{before} 260302-017 {before}").split()[1] == "260302-017"


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


SAID_FIRST = ("line", "part", "ordered", "inside", "to follow", "sent before", "cancelled")
"""The columns of the packing list in the order in which they are read."""


@pytest.mark.parametrize("language", ["he", "ar"])
def test_the_packing_list_is_read_from_the_right(language: str) -> None:
    """The first column stands rightmost and the last leftmost, their words are read in logical order.

    So do the addressee's block and the sender's. That a table of a right-to-left page begins at its right is said by
    the W3C's CSS Writing Modes Level 3, 2.1 (from memory).
    """
    every = tuple(
        replace(line, ordered=100, inside=70, to_follow=10, sent_before=10, cancelled=10)
        for line in invented.packing_list().lines
    )
    for also_in, is_backward in ((language, True), ("de", False)):
        (leaf,) = leaves([invented.packing_list(also_in=also_in, lines=every)], page=Paper.A4)
        geometry.assert_all([leaf])
        words = translations(also_in)
        heads = [words[phrase] if is_backward else f"{words[phrase]} / {phrase}" for phrase in SAID_FIRST]
        lefts = [
            next(left for mark, (left, *_) in leaf.marks() if getattr(mark, "text", "").startswith(head.split(" /")[0]))
            for head in heads
        ]
        assert lefts == sorted(lefts, reverse=is_backward)
        to, sender = (
            next(left for mark, (left, *_) in leaf.marks() if getattr(mark, "text", "").startswith(words[phrase]))
            for phrase in ("to", "from")
        )
        assert (to > sender) is is_backward


@pytest.mark.parametrize("language", ["he", "ar"])
def test_a_letter_from_right_to_left_is_read_in_the_order_in_which_it_is_said(language: str) -> None:
    """Sentences of the note about a part shipment end at the right margin; PDFium reads every word of them."""
    words = partial_note_words(language)
    said = (words["thanks"].format(order="260302-017"), words["nothing_to_do"])
    sheet = replace(partial_note(), also_in=language, sentences=said)
    (leaf,) = leaves([sheet], page=Paper.A4)
    geometry.assert_all([leaf])
    rights = [
        round(right, 1)
        for mark, (_, _, right, _) in leaf.marks()
        if len(getattr(mark, "text", "")) > 20 and any(mark.text in sentence for sentence in said)
    ]
    page = pypdfium2.PdfDocument(pdf([sheet], page=Paper.A4))[0].get_textpage()
    # PDFium counts a full stop beside a number to the number, and says it first.
    found = " ".join(page.get_text_range().replace(".", "").split())

    assert len(rights) >= 2
    assert set(rights) == {round(leaf.size.width_mm - leaf.size.side_mm, 1)}
    for sentence in said:
        assert sentence.replace(".", "") in found


@pytest.mark.parametrize(("language", "is_backward"), [("he", True), ("ar", True), ("de", False)])
def test_the_cautions_at_the_foot_begin_at_their_readers_side(language: str, *, is_backward: bool) -> None:
    """Each sign stands before its sentence: at its right where it is read from the right, all at one margin."""
    words = "LEADED BRASS: contains lead, wash hands after handling."
    lines = tuple(replace(line, cautions=(words,)) for line in invented.packing_list(2).lines)
    (leaf,) = leaves([invented.packing_list(also_in=language, lines=lines)], page=Paper.A4)
    geometry.assert_all([leaf])
    signs = [extent for mark, extent in leaf.marks() if isinstance(mark, Shape)]
    lefts, rights = zip(
        *((left, right) for mark, (left, _, right, _) in leaf.marks() if "wash hands" in getattr(mark, "text", "")),
        strict=True,
    )
    foot = max(signs, key=lambda extent: extent[1])

    assert (foot[0] > max(rights)) is is_backward
    assert (foot[2] < min(lefts)) is not is_backward
