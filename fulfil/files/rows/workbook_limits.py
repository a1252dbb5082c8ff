"""What a workbook may hold before anybody opens it: a mail's attachment must not take the shop's computer down.

A workbook is a zip of XML; a few kilobytes can unpack to gigabytes, and one cell at the end of the sheet makes a reader
fill in all the empty ones before it. Sizes are read from the zip's list, the sheet's extent from its cells' own
addresses, both without unpacking more than a piece at a time (OWASP File Upload Cheat Sheet: limits before parsing).

>>> sheet = b'<sheetData><row r="1"><c r="A1"/></row><row r="9"><c r="C9" t="s"><v>1</v></c></row></sheetData>'
>>> extent([sheet[:40], sheet[40:]])
(9, 3)
>>> column_of(b"A"), column_of(b"XFD")
(1, 16384)
"""

import re
from collections.abc import Iterable, Iterator
from zipfile import BadZipFile, ZipFile, ZipInfo

MOST_BYTES = 100_000_000
"""Of all that a workbook unpacks to: nobody's day of orders, nor a month's bill, is that large."""
MOST_RATIO = 200
"""Of bytes unpacked to packed, past 10 MB; sheets of real tables are packed to about a tenth."""
MOST_ENTRIES = 5_000
MOST_CELLS = 1_500_000
"""From the first cell to the last, empty ones between included."""
_PIECE = 1 << 20
_ADDRESS = re.compile(rb'<c r="([A-Z]{1,3})([0-9]{1,7})"')
_ROW = re.compile(rb'<row r="([0-9]{1,7})"')


def too_much(packed: ZipFile) -> tuple[str, str] | None:
    """Why the workbook isn't opened, and what to do; None where it may be."""
    entries = packed.infolist()
    unpacked, size = sum(entry.file_size for entry in entries), sum(entry.compress_size for entry in entries)
    if unpacked > MOST_BYTES or len(entries) > MOST_ENTRIES:
        return (f"unpacks to more than {MOST_BYTES // 1_000_000} MB", "export fewer rows, or save it as CSV")
    if unpacked > 10_000_000 and unpacked > MOST_RATIO * size:
        return ("is packed as no table is", "open it in a spreadsheet, copy the table alone into a new one")
    if any(entry.flag_bits & 1 for entry in entries):
        return ("is locked with a password", "save it without one")
    return None


def too_wide(packed: ZipFile, sheet: str) -> tuple[str, str] | None:
    """Why the sheet isn't read, and what to do; None where it may be."""
    rows, columns = extent(pieces(packed, packed.getinfo(sheet)))
    if rows * columns <= MOST_CELLS:
        return None
    says = f"has its last cell in row {rows:,}, column {columns:,}"
    return (says, "delete the empty rows and columns after the table, or save it as CSV")


def extent(body: Iterable[bytes]) -> tuple[int, int]:
    """The last row and the last column that a sheet's XML speaks of."""
    rows = columns = 1
    left = b""
    for piece in body:
        text = left + piece
        for found in _ADDRESS.finditer(text):
            rows, columns = max(rows, int(found[2])), max(columns, column_of(found[1]))
        for found in _ROW.finditer(text):
            rows = max(rows, int(found[1]))
        left = text[-32:]
    return rows, columns


def holds(body: Iterable[bytes], word: bytes) -> bool:
    """Whether a word stands in a body that comes in pieces, also where it is cut in two.

    >>> holds([b"<c><", b"f>1+2</f></c>"], b"<f"), holds([b"<c>", b"</c>"], b"<f")
    (True, False)
    """
    left = b""
    for piece in body:
        if word in left + piece:
            return True
        left = piece[1 - len(word) :]
    return False


def column_of(letters: bytes) -> int:
    """The number of a column from its letters."""
    number = 0
    for letter in letters:
        number = number * 26 + letter - 64
    return number


def pieces(packed: ZipFile, entry: ZipInfo) -> Iterator[bytes]:
    """An entry's bytes, a megabyte at a time, never more than the zip's list says."""
    left = entry.file_size
    with packed.open(entry) as file:
        while left > 0 and (piece := file.read(min(_PIECE, left))):
            left -= len(piece)
            yield piece


def words(trouble: BaseException) -> str:
    """One line of what a reader said of a damaged file; of an error without a sentence its kind."""
    said = str(trouble).strip().splitlines()[:1] if isinstance(trouble, BadZipFile | KeyError | ValueError) else []
    return (said[0] if said and said[0] else type(trouble).__name__)[:80]
