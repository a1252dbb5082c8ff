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
from reportlab.pdfbase.ttfonts import SUBSETN, TTFont, makeToUnicodeCMap


class SharedFont(TTFont):  # type: ignore[misc]  # the library has no types
    """A TrueType font whose first subset is the same in every file."""

    def __init__(self, name: str, filename: str) -> None:
        super().__init__(name, filename)
        make = self.face.makeSubset
        kept = cache(lambda characters: make(list(characters)))
        self.face.makeSubset = lambda characters: kept(tuple(characters))
        self._described = cache(self._describe)

    def begin(self, document: Any, repertoire: str) -> None:
        """Gives the repertoire its places in a new file; ASCII has its own."""
        self.splitString(repertoire, document)

    def addObjects(self, doc: Any) -> None:  # noqa: N802 - the library's name
        """Embeds the subsets of a file, from what was made before where it is equal."""
        state = self.state[doc]
        state.frozen = 1
        fonts = doc.idToObject["BasicFonts"].dict
        for number, subset in enumerate(state.subsets):
            name = self.getSubsetInternalName(number, doc)[1:]
            base, widths, letters = self._described(number, tuple(subset))
            font = pdfdoc.PDFTrueTypeFont()
            font.Name, font.BaseFont = name, base
            font.FirstChar, font.LastChar, font.Widths = 0, len(subset) - 1, widths
            font.ToUnicode = doc.Reference(_stream(letters), f"toUnicodeCMap:{base}")
            font.FontDescriptor = self._descriptor(doc, base, subset)
            doc.Reference(font, name)
            fonts[name] = font
        del self.state[doc]

    def _describe(self, number: int, subset: tuple[int, ...]) -> tuple[str, str, bytes]:
        """A subset's name, its widths, and which letters its codes mean, as they stand in a file."""
        base = (SUBSETN(number) + b"+" + self.face.name + self.face.subfontNameX).decode("latin-1")
        widths = _array([self.face.getCharWidth(code) for code in subset])
        return base, widths, zlib.compress(makeToUnicodeCMap(base, subset).encode("latin-1"))

    def _descriptor(self, doc: Any, base: str, subset: list[int]) -> Any:
        """The subset's descriptor, its font file compressed once for all files."""
        before = set(doc.idToObject)
        made = self.face.addSubsetObjects(doc, base, subset)
        for name in doc.idToObject.keys() - before:
            stream = doc.idToObject[name]
            if isinstance(stream, pdfdoc.PDFStream) and stream.filters:
                packed = _stream(_deflated(stream.content))
                stream.content, stream.filters = packed.content, packed.filters
                stream.dictionary["Filter"] = packed.dictionary["Filter"]
        return made


def _stream(packed: bytes) -> Any:
    """A stream that is compressed already."""
    made = pdfdoc.PDFStream()
    made.content, made.filters = packed, None
    made.dictionary["Filter"] = pdfdoc.PDFArray([pdfdoc.PDFName("FlateDecode")])
    return made


def _array(numbers: list[float]) -> str:
    """An array as it stands in the file, ten numbers a line."""
    words = [f"{number:g}" for number in numbers]
    return f"[ {chr(10).join(' '.join(words[i : i + 10]) for i in range(0, len(words), 10))} ]"


@cache
def _deflated(content: bytes) -> bytes:
    return zlib.compress(content)
