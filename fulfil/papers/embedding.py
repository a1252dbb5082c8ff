"""Embedded fonts that most papers share: one subset, made and compressed once, in file after file.

The PDF library makes a subset of each font for each file, in the order in which its characters come, so that no two
are alike. Here every file begins with the same repertoire (ASCII, the signs of the papers, the letters of Latin
alphabets), so that the subset of nearly every paper is the same, and what was made for one file is kept for the next.
Letters outside the repertoire, Greek or Cyrillic, are added to the subsets of their own file, as before.

Limits: files grow by the letters that they don't use, by some 12 kB.
"""

import zlib
from functools import cache
from typing import Any

from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.ttfonts import TTFont

REPERTOIRE = (
    "·–…×±≤≥◀▶°µ§"
    "ÄÅÆÇÉÈÊËÍÎÑÓÔÖØÚÜÝßàáâãäåæçèéêëìíîïðñòóôõöøùúûüýþÿ"
    "ĀāĂăĄąĆćČčĎďĐđĒēĖėĘęĚěĢģĪīĮįĶķĻļĽľŁłŃńŅņŇňŐőŒœŔŕŘřŚśŞşŠšŢţŤťŪūŮůŰűŲųŹźŻżŽž"
)
"""Characters beside ASCII that every file embeds."""


class SharedFont(TTFont):  # type: ignore[misc]  # the library has no types
    """A TrueType font whose first subset is the same in every file."""

    def __init__(self, name: str, filename: str) -> None:
        super().__init__(name, filename)
        make = self.face.makeSubset
        kept = cache(lambda characters: make(list(characters)))
        self.face.makeSubset = lambda characters: kept(tuple(characters))

    def begin(self, document: Any, repertoire: str = REPERTOIRE) -> None:
        """Gives the repertoire its places in a new file; ASCII has its own."""
        self.splitString(repertoire, document)

    def addObjects(self, doc: Any) -> None:  # noqa: N802 - the library's name
        """Embeds the subsets, from what was made before where it is equal."""
        before = set(doc.idToObject)
        super().addObjects(doc)
        for name in doc.idToObject:
            if name in before:
                continue
            made = doc.idToObject[name]
            if isinstance(made, pdfdoc.PDFTrueTypeFont):
                made.Widths = _array(tuple(made.Widths.sequence))
            elif isinstance(made, pdfdoc.PDFStream) and made.filters:
                made.content = _deflated(
                    bytes(made.content, "latin-1") if isinstance(made.content, str) else made.content
                )
                made.dictionary["Filter"] = pdfdoc.PDFArray([pdfdoc.PDFName("FlateDecode")])


@cache
def _array(numbers: tuple[float, ...]) -> str:
    """An array as it stands in the file, ten numbers a line."""
    words = [f"{number:g}" for number in numbers]
    return f"[ {chr(10).join(' '.join(words[i : i + 10]) for i in range(0, len(words), 10))} ]"


@cache
def _deflated(content: bytes) -> bytes:
    return zlib.compress(content)
