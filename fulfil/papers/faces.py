"""The embedded typefaces: what they can print, and how wide it is.

Three open fonts of one family travel with the package (licence in ``fonts/LICENSE.txt``): condensed text, its bold,
and a bold monospaced face for codes, in which 0 and O, 1, l and I can't be mistaken. Figures are all of one width.

>>> width_mm("250", Face.BOLD, 18) == width_mm("111", Face.BOLD, 18)
True
>>> printable("Kowalski, Łódź", Face.TEXT)
'Kowalski, Łódź'

A character that the face lacks is refused, never printed as a blank or a black box:

>>> printable("ሀ", Face.TEXT)  # doctest: +NORMALIZE_WHITESPACE
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print 'ሀ': expected characters of the font DejaVu Sans Condensed, not 'ሀ'
(ETHIOPIC SYLLABLE HA); write this text in Latin, Greek or Cyrillic letters.

Characters that no one can see, such as a zero-width space, have no width and are left out.

Letters written from right to left are measured and printed as they are seen
(:mod:`fulfil.papers.scripts.script_order`); Thai, Devanagari, Chinese, Japanese and Korean have fonts of their own
(:mod:`fulfil.papers.scripts.shaping`).

Limits: no kerning, no ligatures but the Arabic lam-alef.
"""

import unicodedata
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING

from fulfil.errors import PaperRefused
from fulfil.papers.scripts.script_order import as_seen
from fulfil.papers.scripts.shaping import covered, has_other, runs

if TYPE_CHECKING:
    from fulfil.papers.embedding import SharedFont

MM_PER_POINT = 25.4 / 72
CAP_HEIGHT = 0.73
"""Height of capitals and figures over the type size, all three faces."""
DESCENT = 0.24
"""Depth of g, p, y below the base line over the type size."""

REPERTOIRE = (
    "·–…×±≤≥◀▶°µ§"
    "ÄÅÆÇÉÈÊËÍÎÑÓÔÖØÚÜÝßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿ"
    "ĀāĂăĄąĆćČčĎďĐđĒēĖėĘęĚěĢģĪīĮįĶķĻļĽľŁłŃńŅņŇňŐőŒœŔŕŘřŚśŞşŠšŢţŤťŪūŮůŰűŲųŹźŻżŽž"
)
"""Characters beside ASCII that every file embeds."""

INVISIBLE = dict.fromkeys([0x00AD, *range(0x200B, 0x2010), *range(0x2060, 0x2065), 0xFEFF])
"""Soft hyphen, zero-width spaces and joiners, direction and byte-order marks: pasted in unseen, they print nothing."""


class Face(StrEnum):
    """The faces, by what they are for."""

    TEXT = "DejaVu Sans Condensed"
    BOLD = "DejaVu Sans Condensed Bold"
    CODE = "DejaVu Sans Mono Bold"


FILES = {
    Face.TEXT: "DejaVuSansCondensed.ttf",
    Face.BOLD: "DejaVuSansCondensed-Bold.ttf",
    Face.CODE: "DejaVuSansMono-Bold.ttf",
}


class _Widths(dict[str, float]):
    """Width of each character over the type size; asking for one that can't be printed is refused."""

    def __init__(self, face: Face, font: "SharedFont") -> None:
        super().__init__()
        self._face = face
        self._font = font.face

    def __missing__(self, character: str) -> float:
        code = ord(character)
        if code in INVISIBLE:
            self[character] = 0.0
            return 0.0
        if code not in self._font.charToGlyph or unicodedata.category(character)[0] == "C":
            name = unicodedata.name(character, f"U+{code:04X}")
            raise PaperRefused(
                "print",
                character,
                f"characters of the font {self._face}, not '{character}' ({name}); "
                "write this text in Latin, Greek or Cyrillic letters",
            )
        width = self._font.charWidths.get(code, self._font.defaultWidth) / 1000
        self[character] = width
        return float(width)


@dataclass(frozen=True)
class LoadedFace:
    """A face that is registered with the PDF library under ``name``."""

    name: str
    widths: _Widths
    font: "SharedFont"


@cache
def loaded(face: Face) -> LoadedFace:
    """The face, registered when first asked for."""
    # Loaded late: who reads what a paper says, draws none.
    from reportlab.pdfbase import pdfmetrics

    from fulfil.papers.embedding import SharedFont

    name = f"fulfil-{face.name.lower()}"
    with as_file(files("fulfil.papers.fonts") / FILES[face]) as path:
        font = SharedFont(name, str(path))
    pdfmetrics.registerFont(font)
    return LoadedFace(name, _Widths(face, font), font)


def printable(text: str, face: Face) -> str:
    """``text`` itself, if the face can print all of it.

    Raises:
        PaperRefused: naming the text, the character and the remedy.
    """
    width_mm(text, face, 1)
    return text


def width_mm(text: str, face: Face, size_pt: float) -> float:
    """How wide ``text`` prints, in mm; refuses what can't be printed."""
    widths = loaded(face).widths
    try:
        if has_other(text):
            return _width(text, face) * size_pt * MM_PER_POINT
        return sum(map(widths.__getitem__, as_seen(text))) * size_pt * MM_PER_POINT
    except PaperRefused as refused:
        raise PaperRefused("print", text, refused.expected) from None


@lru_cache(maxsize=4_000)
def _width(text: str, face: Face) -> float:
    """Over the type size, of a line with letters of other fonts."""
    widths, is_bold = loaded(face).widths, face is not Face.TEXT
    found = 0.0
    for run in runs(as_seen(text), is_bold=is_bold):
        if run.script is None:
            found += sum(map(widths.__getitem__, run.text))
            continue
        for letter in run.text:
            if not covered(letter, is_bold=is_bold):
                found += widths[letter]  # refuses it by its name
        found += run.width
    return found
