"""Fonts that papers share: one subset for nearly all, letters outside it still there."""

import re
from typing import Any

from fulfil.papers.door import pdf
from fulfil.papers.faces import REPERTOIRE, Face, loaded, printable
from fulfil.records.settings import Paper
from tests.papers import invented


def _subsets(pdf):
    return re.findall(rb"/BaseFont\s*/(\S+)", pdf)


def test_the_repertoire_is_printable_and_fits_one_subset():
    """All its characters are in the text faces; with ASCII they are fewer than 256, each once."""
    for face in (Face.TEXT, Face.BOLD):
        assert printable(REPERTOIRE, face) == REPERTOIRE
    assert len(set(REPERTOIRE)) == len(REPERTOIRE) <= 255 - 96
    assert not REPERTOIRE.isascii()


def test_two_papers_in_latin_letters_have_the_same_three_fonts():
    """Whatever accents the names have, the subsets' count stays; Greek letters get a subset of their own."""
    page: dict[str, Any] = {"page": Paper.A4}
    polish = pdf([invented.packing_list()], **page)
    danish = pdf([invented.packing_list(to_lines=("Søren Opdigtet", "DENMARK"))], **page)
    greek = pdf([invented.packing_list(to_lines=("αβγδεζηθικλμνξοπρστυφχψω ΑΒΓΔΕΖΗΘ", "GREECE"))], **page)

    assert len(_subsets(polish)) == len(_subsets(danish)) == len(Face)
    assert len(_subsets(greek)) == len(Face) + 1


def test_a_subset_made_before_is_used_again():
    """The second file gets the very bytes that were made for the first."""
    pdf([invented.packing_list()], page=Paper.A4)
    face = loaded(Face.TEXT).font.face
    made = face.makeSubset([32, *map(ord, "abc")])

    assert face.makeSubset([32, *map(ord, "abc")]) is made
