r"""Rows of a table, with everything that is wrong with its shape said at once.

The table is read by :mod:`fulfil.files.rows.table`: CSV as in RFC 4180 (Shafranovich 2005) section 2 in any common
dialect and encoding, or a workbook. The header names the columns in any order.

>>> read = read_rows(b'bin,pieces\n"A\n1",5\nA2,7,9\n', "bins.csv", needed=("bin", "pieces"), optional=())
>>> [(row.line, row.cells) for row in read.rows]
[(2, {'bin': 'A\n1', 'pieces': '5'})]
>>> print(read.findings[0])
bins.csv, line 4: has 3 cells, the header has 2. Do: quote cells that hold a comma, fill in missing ones.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

from fulfil.files.rows.dialect import DELIMITERS
from fulfil.files.rows.table import Table, decode, read_table
from fulfil.records.finding import Finding

__all__ = ["Row", "Rows", "decode", "read_rows", "rows_of"]


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
    """What could be read of a file, and what is wrong with its shape; with a finding the rows may be incomplete.

    ``notes`` say how the file was read and what was passed over; ``numbers`` are a workbook's cells that are numbers.
    """

    source: str
    rows: tuple[Row, ...]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()
    delimiter: str = ","
    numbers: frozenset[tuple[int, str]] = field(default_factory=frozenset)


def read_rows(
    raw: bytes,
    source: str,
    *,
    needed: Sequence[str],
    optional: Sequence[str],
    encoding: str = "",
    delimiter: str = "",
) -> Rows:
    """The rows of a file's bytes; encoding and delimiter are found out where they aren't named.

    Raises:
        FileRefused: ``encoding`` is no encoding.
    """
    table = read_table(raw, source, encoding=encoding, delimiter=delimiter)
    return rows_of(table, needed=needed, optional=optional)


def rows_of(table: Table, *, needed: Sequence[str], optional: Sequence[str]) -> Rows:
    """The rows of a table by its header, in lower case."""
    if table.header:
        header = [name.casefold() for name in table.header]
        off = _header_findings(header, table, needed, optional)
        if off:
            return Rows(table.source, (), tuple(off), table.notes, table.delimiter)
    elif not table.findings:
        says, do = "is empty", f"write a header with the columns {', '.join(needed)}"
        empty = Finding(table.source, 1, "", "", says, do)
        return Rows(table.source, (), (empty,))
    else:
        return Rows(table.source, (), table.findings, table.notes, table.delimiter)
    findings: list[Finding] = []
    rows: list[Row] = []
    for line, cells in table.rows:
        if len(cells) != len(header):
            says = f"has {len(cells)} cells, the header has {len(header)}"
            do = "quote cells that hold a comma, fill in missing ones"
            findings.append(Finding(table.source, line, "", _short(table.delimiter.join(cells)), says, do))
        else:
            rows.append(Row(line, dict(zip(header, cells, strict=True))))
    if len(findings) > 3 and len(findings) > len(rows):
        findings = [_all_off(findings, len(header), table.source)]
    findings += table.findings
    return Rows(table.source, tuple(rows), tuple(findings), table.notes, table.delimiter, table.numbers)


def _all_off(findings: list[Finding], width: int, source: str) -> Finding:
    """One finding for a file whose rows don't fit its header, most of them: the fault is in how it was written."""
    lines = [finding.line for finding in findings]
    says = (
        f"has {len(findings)} rows, lines {lines[0]} to {lines[-1]}, that are not {width} cells wide as the header is"
    )
    do = "save it with semicolons between the cells, or with quotes around cells that hold a comma, as in 1,50"
    return Finding(source, lines[0], "", findings[0].value, says, do)


def _header_findings(header: list[str], table: Table, needed: Sequence[str], optional: Sequence[str]) -> list[Finding]:
    known = (*needed, *optional)
    source, line = table.source, table.head_line
    if len(header) == 1 and len(known) > 1:
        for sign, name in DELIMITERS.items():
            if sign in header[0] and sign != table.delimiter:
                says = f"is separated by {name}, not by '{table.delimiter}'"
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
