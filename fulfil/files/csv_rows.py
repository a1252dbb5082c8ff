r"""Rows of a CSV file, with everything that is wrong with the file's shape said at once.

Comma, double quotes and line ends as in RFC 4180 (Shafranovich 2005) section 2; a quoted cell may hold line ends. The
header names the columns in any order. The encoding is UTF-8, with or without a byte order mark, unless the caller
names another: nothing is guessed, a short file fits several code pages.

>>> read = read_rows(b'bin,pieces\n"A\n1",5\nA2,7,9\n', "bins.csv", needed=("bin", "pieces"), optional=())
>>> [(row.line, row.cells) for row in read.rows]
[(2, {'bin': 'A\n1', 'pieces': '5'})]
>>> print(read.findings[0])
bins.csv, line 4: has 3 cells, the header has 2. Do: quote cells that hold a comma, fill in missing ones.
"""

import csv
import io
from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.errors import FileRefused
from fulfil.records.finding import Finding


@dataclass(frozen=True)
class Row:
    """One record of a file: its cells by column, outer spaces gone; ``line`` is the file's line it starts on.

    ``place`` goes before the column's name in findings, for files without lines.
    """

    line: int | None
    cells: dict[str, str]
    place: str = ""


@dataclass(frozen=True)
class Rows:
    """What could be read of a file, and what is wrong with its shape; with a finding the rows may be incomplete."""

    source: str
    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]


def read_rows(
    raw: bytes,
    source: str,
    *,
    needed: Sequence[str],
    optional: Sequence[str],
    encoding: str = "utf-8-sig",
    delimiter: str = ",",
) -> Rows:
    """The rows of a CSV file's bytes.

    Raises:
        FileRefused: ``encoding`` is no encoding.
    """
    text = decode(raw, source, encoding)
    if isinstance(text, Finding):
        return Rows(source, (), (text,))
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        says = "holds a NUL character, so it is no CSV text"
        return Rows(source, (), (Finding(source, line, "", "", says, "export the file again as CSV"),))
    return _records(text, source, needed, optional, delimiter)


def decode(raw: bytes, source: str, encoding: str) -> str | Finding:
    """The text of a file, or the finding that it isn't in this encoding.

    Raises:
        FileRefused: ``encoding`` is no encoding.
    """
    try:
        return raw.decode("utf-8-sig" if encoding.lower() in ("utf-8", "utf8") else encoding)
    except LookupError as trouble:
        raise FileRefused("read with the encoding", encoding, "the name of one, such as utf-8 or cp1252") from trouble
    except UnicodeDecodeError as trouble:
        line = raw.count(b"\n", 0, trouble.start) + 1
        says = f"holds the byte {raw[trouble.start]:02X}, which is no {encoding.removesuffix('-sig').upper()} text"
        do = "save the file as UTF-8, or name its encoding (for example cp1252)"
        return Finding(source, line, "", "", says, do)


def _records(text: str, source: str, needed: Sequence[str], optional: Sequence[str], delimiter: str) -> Rows:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
    findings: list[Finding] = []
    rows: list[Row] = []
    header: list[str] | None = None
    line = 1
    try:
        for cells in reader:
            started, line = line, reader.line_num + 1
            stripped = [cell.strip() for cell in cells]
            if not any(stripped):
                continue
            if header is None:
                header = [name.casefold() for name in stripped]
                findings += _header_findings(header, source, started, needed, optional, delimiter)
                if findings:
                    return Rows(source, (), tuple(findings))
            elif len(cells) != len(header):
                says = f"has {len(cells)} cells, the header has {len(header)}"
                do = "quote cells that hold a comma, fill in missing ones"
                findings.append(Finding(source, started, "", _short(delimiter.join(cells)), says, do))
            else:
                rows.append(Row(started, dict(zip(header, stripped, strict=True))))
    except csv.Error as trouble:
        says = f"is no well-formed CSV from here on ({trouble})"
        findings.append(Finding(source, line, "", "", says, "close every quote, double the quotes inside a cell"))
    if header is None:
        names = ", ".join(needed)
        findings.append(Finding(source, 1, "", "", "is empty", f"write a header with the columns {names}"))
    return Rows(source, tuple(rows), tuple(findings))


def _header_findings(
    header: list[str], source: str, line: int, needed: Sequence[str], optional: Sequence[str], delimiter: str
) -> list[Finding]:
    known = (*needed, *optional)
    if len(header) == 1 and len(known) > 1:
        for sign, name in ((";", "semicolons"), ("\t", "tabs"), (",", "commas")):
            if sign in header[0] and sign != delimiter:
                says = f"is separated by {name}, not by '{delimiter}'"
                return [Finding(source, line, "", _short(header[0]), says, "save it as CSV with commas")]
    findings = [
        Finding(source, line, name, "", "is a column twice", "keep one of the two")
        for name in sorted({name for name in header if header.count(name) > 1})
    ]
    findings += [
        Finding(source, line, name, "", "is no column of this file", f"name it one of {', '.join(known)}, or remove it")
        for name in dict.fromkeys(header)
        if name not in known
    ]
    findings += [
        Finding(source, line, name, "", "is missing as a column", "add the column")
        for name in needed
        if name not in header
    ]
    return findings


def _short(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
