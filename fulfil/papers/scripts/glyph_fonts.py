"""Fonts of shaped runs in a PDF file: embedded by the numbers of their signs (ISO 32000-1, 9.7, composite fonts).

Each font is cut to the signs that a file uses; their numbers stay, so that a run is written as it was shaped. What the
letters of a sign are stands beside it, so that a reader finds the line in the order in which it is said.
"""

import zlib
from collections.abc import Iterable
from functools import lru_cache
from struct import unpack_from
from typing import Any

from fulfil.papers.scripts.shaping import Glyph, Run, Script, font_file, font_of, size_of_script

_OUTLINE = 0.022
"""Line that makes a regular font bold, over the type size."""


class GlyphFonts:
    """The fonts of one file; a font is in it once something is written with it."""

    def __init__(self, document: Any) -> None:
        self._document = document
        self._used: dict[tuple[Script, bool], dict[int, Glyph]] = {}

    def written(self, run: Run, x: float, y: float, size_pt: float, *, is_bold: bool) -> list[str]:
        """The operators that write a run with its beginning at (x, y) in points."""
        assert run.script is not None  # noqa: S101 - for the type
        own_bold = is_bold and run.script is not Script.CJK
        used = self._used.setdefault((run.script, own_bold), {})
        for glyph in run.glyphs:
            known = used.get(glyph.number)
            if known is None or not known.letters:
                used[glyph.number] = glyph
        size = size_pt * size_of_script(run.script)
        code = [f"/{_name(run.script, own_bold)} {size:.3f} Tf"]
        is_outlined = is_bold and not own_bold
        if is_outlined:
            code.append(f"2 Tr {_OUTLINE * size:.3f} w")
        code += [
            f"1 0 0 1 {x + glyph.x * size_pt:.3f} {y + glyph.y * size_pt:.3f} Tm <{glyph.number:04X}> Tj"
            for glyph in run.glyphs
        ]
        return [*code, "0 Tr"] if is_outlined else code

    def add(self) -> None:
        """Adds the fonts to the file, before it is saved."""
        fonts = self._document.idToObject["BasicFonts"].dict
        for (script, is_bold), glyphs in sorted(self._used.items()):
            name = _name(script, is_bold)
            fonts[name] = self._font(name, script, is_bold=is_bold, glyphs=glyphs)

    def _font(self, name: str, script: Script, *, is_bold: bool, glyphs: dict[int, Glyph]) -> Any:
        from reportlab.pdfbase import pdfdoc

        make, refer = pdfdoc.PDFDictionary, self._document.Reference
        base = f"FULFIL+{font_file(script, is_bold=is_bold).removesuffix('.ttf')}"
        content, box, ascent, descent = _cut(script, is_bold, tuple(sorted(glyphs)))
        file = pdfdoc.PDFStream(dictionary=make({"Length1": content[1], "Filter": pdfdoc.PDFName("FlateDecode")}))
        file.content, file.filters = content[0], ()
        descriptor = make(
            {
                "Type": pdfdoc.PDFName("FontDescriptor"),
                "FontName": pdfdoc.PDFName(base),
                "Flags": 4,
                "FontBBox": pdfdoc.PDFArray(list(box)),
                "ItalicAngle": 0,
                "Ascent": ascent,
                "Descent": descent,
                "CapHeight": ascent,
                "StemV": 80,
                "FontFile2": refer(file, f"{name}.file"),
            }
        )
        widths: list[Any] = []
        for number in sorted(glyphs):
            widths += [number, pdfdoc.PDFArray([round(1000 * glyphs[number].width / size_of_script(script))])]
        descendant = make(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("CIDFontType2"),
                "BaseFont": pdfdoc.PDFName(base),
                "CIDSystemInfo": make(
                    {
                        "Registry": pdfdoc.PDFString("Adobe"),
                        "Ordering": pdfdoc.PDFString("Identity"),
                        "Supplement": 0,
                    }
                ),
                "FontDescriptor": refer(descriptor, f"{name}.descriptor"),
                "W": pdfdoc.PDFArray(widths),
                "CIDToGIDMap": pdfdoc.PDFName("Identity"),
            }
        )
        letters = pdfdoc.PDFStream(dictionary=make({}))
        letters.content, letters.filters = _letters(glyphs.values()), ()
        font = make(
            {
                "Type": pdfdoc.PDFName("Font"),
                "Subtype": pdfdoc.PDFName("Type0"),
                "BaseFont": pdfdoc.PDFName(base),
                "Encoding": pdfdoc.PDFName("Identity-H"),
                "DescendantFonts": pdfdoc.PDFArray([refer(descendant, f"{name}.signs")]),
                "ToUnicode": refer(letters, f"{name}.letters"),
            }
        )
        return refer(font, name)


def _name(script: Script, is_bold: bool) -> str:
    return f"G{script.name}{'B' if is_bold else ''}"


@lru_cache(maxsize=64)
def _cut(
    script: Script,
    is_bold: bool,
    numbers: tuple[int, ...],
) -> tuple[tuple[bytes, int], tuple[int, int, int, int], int, int]:
    """The font with these signs alone, compressed, with its length; its box, ascent and descent in thousandths."""
    # Loaded late: few papers need it. Its cutting takes milliseconds where a font has 65,000 signs.
    import uharfbuzz

    wanted = uharfbuzz.SubsetInput()
    wanted.glyph_set.update(numbers)
    wanted.drop_table_tag_set.update(int.from_bytes(tag) for tag in _NOT_EMBEDDED)
    keeps = uharfbuzz.SubsetFlags
    wanted.flags = keeps.RETAIN_GIDS | keeps.NO_HINTING | keeps.NOTDEF_OUTLINE | keeps.NO_LAYOUT_CLOSURE
    raw = uharfbuzz.subset(font_of(script, is_bold), wanted).blob.data
    tables = uharfbuzz.Face(raw)
    head, hhea = (tables.reference_table(tag).data for tag in ("head", "hhea"))
    # OpenType 1.9, head and hhea: unitsPerEm at byte 18, the box at 36; ascender and descender at 4.
    (per_em,), box, edges = unpack_from(">H", head, 18), unpack_from(">4h", head, 36), unpack_from(">2h", hhea, 4)
    left, low, right, high, ascent, descent = (round(1000 * edge / per_em) for edge in (*box, *edges))
    return (zlib.compress(raw), len(raw)), (left, low, right, high), ascent, descent


_NOT_EMBEDDED = (b"GSUB", b"GPOS", b"GDEF", b"name", b"post", b"DSIG", b"cmap", b"OS/2", b"vhea", b"vmtx")
"""Tables that a PDF reader doesn't ask: the signs are chosen and placed already."""


def _letters(glyphs: Iterable[Glyph]) -> bytes:
    """Which letters a sign shows (ISO 32000-1, 9.10.3); a sign that shows none of its own is left out."""
    rows = [
        f"<{glyph.number:04X}> <{glyph.letters.encode('utf-16-be').hex().upper()}>"
        for glyph in sorted(glyphs, key=lambda one: one.number)
        if glyph.letters
    ]
    parts = [
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap",
        "/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def",
        "/CMapName /Adobe-Identity-UCS def /CMapType 2 def",
        "1 begincodespacerange <0000> <FFFF> endcodespacerange",
    ]
    for i in range(0, len(rows), 100):
        parts += [f"{len(rows[i : i + 100])} beginbfchar", *rows[i : i + 100], "endbfchar"]
    return "\n".join([*parts, "endcmap CMapName currentdict /CMap defineresource pop end end"]).encode()
