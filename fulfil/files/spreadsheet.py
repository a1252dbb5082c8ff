"""Tables as CSV: one export for programs, byte for byte what is stored, and a separate one that spreadsheets may open.

A spreadsheet runs a cell that begins with ``=``, ``+``, ``-`` or ``@`` as a formula (OWASP, "CSV Injection"), and turns
a part number such as ``0012``, ``1E05`` or ``MAR03`` into a number or a date. In the export for spreadsheets such texts
begin with an apostrophe, the sign by which spreadsheets know text; numbers stay numbers.

>>> [guarded(text) for text in ("=M4N", "0012", "1E05", "MAR03", "cap screw", "P2603020001")]
["'=M4N", "'0012", "'1E05", "'MAR03", 'cap screw', 'P2603020001']

Limits: the apostrophe is part of the cell for every other program; read the other export there.
"""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_RUNS = ("=", "+", "-", "@", "\t", "\r")
_MONTHS = "jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec"
_RETYPED = re.compile(
    rf"[\d.,:/ -]+|\d+[eE]\d+|({_MONTHS})[a-z]*[ -]?\d+|\d+[ -]?({_MONTHS})[a-z]*|true|false", re.IGNORECASE
)


def guarded(text: str) -> str:
    """The text with an apostrophe before it where a spreadsheet would run or change it."""
    return f"'{text}" if text.startswith(_RUNS) or _RETYPED.fullmatch(text) else text


def csv_bytes(heads: Sequence[str], rows: Iterable[Sequence[object]], *, for_spreadsheet: bool = False) -> bytes:
    r"""A CSV file (RFC 4180) in UTF-8; for spreadsheets with a byte order mark, and texts guarded.

    >>> csv_bytes(("part", "pieces"), [("0012", 5)])
    b'part,pieces\r\n0012,5\r\n'
    >>> csv_bytes(("part", "pieces"), [("0012", -5)], for_spreadsheet=True)
    b"\xef\xbb\xbfpart,pieces\r\n'0012,-5\r\n"
    >>> csv_bytes(("name",), [("\ud800",)])
    b'name\r\n?\r\n'
    """
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        cells = ["" if cell is None else cell for cell in row]
        if for_spreadsheet:
            cells = [guarded(cell) if isinstance(cell, str) else cell for cell in cells]
        writer.writerow(cells)
    # Half a character, as JSON may hold it, is no text in any encoding.
    return out.getvalue().encode("utf-8-sig" if for_spreadsheet else "utf-8", "replace")
