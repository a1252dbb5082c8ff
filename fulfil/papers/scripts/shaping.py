"""Letters that the faces lack: Thai, Devanagari, Chinese, Japanese, Korean, each shaped by its own font's rules.

A line is taken apart into runs of one font. What a run looks like, which signs it needs and where each stands, says
HarfBuzz (uharfbuzz) by the font's tables: vowels over and under a Thai consonant, Devanagari conjuncts, full-width
signs. Right-to-left scripts are in the faces themselves (:mod:`fulfil.papers.scripts.script_order`).

>>> [run.script for run in runs("東京 Tower", is_bold=False)]
[<Script.CJK: 'DroidSansFallback'>, None]
>>> [len(run.glyphs) for run in runs("กรุงเทพ", is_bold=True)], runs("Łódź", is_bold=False)[0].script
([7], None)

Limits: Chinese, Japanese and Korean share one font with Chinese forms where they differ; its bold is the regular one
with a heavier outline. No line is written from top to bottom.
"""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from itertools import groupby, pairwise
from typing import Any


class Script(StrEnum):
    """Scripts by their font's file."""

    CJK = "DroidSansFallback"
    THAI = "NotoSansThai"
    DEVANAGARI = "NotoSansDevanagari"


_RANGES = (
    (0x0900, 0x097F, Script.DEVANAGARI),
    (0x0E00, 0x0E7F, Script.THAI),
    (0x1100, 0x11FF, Script.CJK),
    (0x2E80, 0x9FFF, Script.CJK),
    (0xAC00, 0xD7AF, Script.CJK),
    (0xF900, 0xFAFF, Script.CJK),
    (0xFE30, 0xFE4F, Script.CJK),
    (0xFF00, 0xFFEF, Script.CJK),
)
"""Blocks of the Unicode Standard, by the font that has them."""
_OTHER = re.compile(f"[{''.join(f'{chr(first)}-{chr(last)}' for first, last, _ in _RANGES)}]")
_SIZE = {Script.THAI: 0.95, Script.DEVANAGARI: 0.95, Script.CJK: 0.97}
"""Over the type size, so that lines keep their height."""
_TAGS = {Script.THAI: "Thai", Script.DEVANAGARI: "Deva"}
_VIRAMA = "\u094d"


@dataclass(frozen=True, slots=True)
class Glyph:
    """A sign: its number in the font, where it stands from the run's beginning, the letters it begins to show.

    Places are over the type size; ``width`` is the sign's own.
    """

    number: int
    x: float
    y: float
    width: float
    letters: str


@dataclass(frozen=True, slots=True)
class Run:
    """A piece of a line: ``script`` None is a face's own, in its letters; ``width`` is over the type size."""

    script: Script | None
    text: str
    glyphs: tuple[Glyph, ...] = ()
    width: float = 0.0


def script_of(letter: str) -> Script | None:
    """Whose font has this letter; None: a face's own, or nobody's."""
    code = ord(letter)
    if code < _RANGES[0][0]:
        return None
    return next((script for first, last, script in _RANGES if first <= code <= last), None)


def has_other(text: str) -> bool:
    """Whether a line needs more than the faces."""
    return not text.isascii() and _OTHER.search(text) is not None


def covered(letter: str, *, is_bold: bool) -> bool:
    """Whether one of these fonts has the letter."""
    script = script_of(letter)
    return script is not None and bool(
        _font(script, is_bold and script is not Script.CJK).get_nominal_glyph(ord(letter))
    )


@lru_cache(maxsize=4_000)
def runs(text: str, *, is_bold: bool) -> tuple[Run, ...]:
    """The line in runs, from left to right."""
    found = []
    for script, letters in groupby(text, script_of):
        words = "".join(letters)
        found.append(Run(None, words) if script is None else _shaped(script, words, is_bold=is_bold))
    return tuple(found)


def clusters(word: str) -> Iterator[str]:
    """A word in pieces that a line may be broken between: a letter with its marks, a conjunct whole.

    >>> list(clusters("กรุงเทพ")), list(clusters("क्षेत्र"))
    (['ก', 'รุ', 'ง', 'เ', 'ท', 'พ'], ['क्षे', 'त्र'])
    """
    piece = ""
    for letter in word:
        if piece and unicodedata.category(letter)[0] != "M" and not piece.endswith(_VIRAMA):
            yield piece
            piece = ""
        piece += letter
    if piece:
        yield piece


def _shaped(script: Script, text: str, *, is_bold: bool) -> Run:
    import uharfbuzz

    own_bold = is_bold and script is not Script.CJK
    font = _font(script, own_bold)
    buffer = uharfbuzz.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    if script in _TAGS:
        buffer.script = _TAGS[script]
    buffer.direction = "ltr"
    uharfbuzz.shape(font, buffer, {})
    per_em = font.face.upem / _SIZE[script]
    starts = sorted({info.cluster for info in buffer.glyph_infos} | {len(text)})
    ends = dict(pairwise(starts))
    glyphs, x, said = [], 0.0, set()
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        letters = "" if info.cluster in said else text[info.cluster : ends[info.cluster]]
        said.add(info.cluster)
        width = place.x_advance / per_em
        glyphs.append(Glyph(info.codepoint, x + place.x_offset / per_em, place.y_offset / per_em, width, letters))
        x += width
    return Run(script, text, tuple(glyphs), x)


def font_file(script: Script, *, is_bold: bool) -> str:
    """The file of a script's font."""
    return f"{script}.ttf" if script is Script.CJK else f"{script}-{'Bold' if is_bold else 'Regular'}.ttf"


def size_of_script(script: Script) -> float:
    """The script's size over the type size."""
    return _SIZE[script]


@cache
def font_bytes(script: Script, is_bold: bool) -> bytes:
    """The font's file."""
    return (files("fulfil.papers.fonts") / font_file(script, is_bold=is_bold)).read_bytes()


@cache
def font_of(script: Script, is_bold: bool) -> Any:
    """The font as it shapes and cuts."""
    # Loaded late: few papers need it.
    import uharfbuzz

    return uharfbuzz.Face(font_bytes(script, is_bold))


@cache
def _font(script: Script, is_bold: bool) -> Any:
    import uharfbuzz

    return uharfbuzz.Font(font_of(script, is_bold))


def used_glyphs(found: Sequence[Run]) -> set[int]:
    """The numbers of all signs of some runs."""
    return {glyph.number for run in found for glyph in run.glyphs}
