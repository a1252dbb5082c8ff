r"""One reader for tables as people have them: CSV of any dialect and encoding, or the first sheet of a workbook.

The file's own bytes say what it is, whatever its name ends in. What the reader decided, and every row that it passed
over, is in the notes: a pasted total and a title above the header are never data, and never vanish in silence.

>>> table = read_table("Order list\n\nNr;Art;Preis\n7;A;1,50\n;;\nSumme;;1,50\n".encode("utf-16"), "may.csv")
>>> table.header, table.rows
(('Nr', 'Art', 'Preis'), ((4, ('7', 'A', '1,50')),))
>>> for note in table.notes:
...     print(note)
may.csv: read as UTF-16, cells apart by semicolons
may.csv, line 1: 'Order list' above the header is passed over
may.csv, line 6: 'Summe; 1,50' looks like a total and is passed over

Limits: the first sheet of a workbook; an old binary workbook is refused with what to do.
"""

import csv
import io
import re
from dataclasses import dataclass, field, replace
from zipfile import ZipFile

from fulfil.errors import FileRefused
from fulfil.files.rows.dialect import DELIMITERS, Dialect, dialect_of, records
from fulfil.files.rows.encodings import Encoding, detected
from fulfil.files.rows.ods_rows import read_ods
from fulfil.files.rows.xlsx_rows import read_xlsx
from fulfil.records.finding import Finding

ZIPPED = b"PK\x03\x04"
"""How workbooks of today begin: they are zipped."""
_OLD_BOOK = b"\xd0\xcf\x11\xe0"
_TOTALS = frozenset(
    (
        "total", "totals", "grand total", "sum", "summe", "gesamt", "gesamtsumme", "endsumme", "total général",
        "total general", "totale", "somma", "suma", "razem", "ogółem", "totaal", "som", "totalt", "summa", "i alt",
        "ialt", "yhteensä", "celkem", "součet", "összesen", "spolu", "skupaj", "ukupno", "toplam", "genel toplam",
        "итого", "всего", "общо", "разом", "σύνολο", "合計", "总计", "合计", "總計", "합계", "סהכ", "المجموع",
    )
)  # fmt: skip
"""Words that begin a total, our own list."""
_AMOUNT = re.compile(r"\D{0,4}[0-9][0-9.,'\s]*\D{0,4}")
_NO_TABLE = (
    (b"%PDF", "is a PDF, no table"), (b"<!DOCTYPE", "is a web page, no table"), (b"<html", "is a web page, no table"),
    (b"<?xml", "is XML, no table"),
)  # fmt: skip


@dataclass(frozen=True)
class Table:
    """A table: its header, its rows as (line, cells) with outer spaces gone, what was decided, what is wrong.

    ``numbers`` are (line, header in lower case) of a workbook's cells that hold numbers.
    """

    source: str
    header: tuple[str, ...] = ()
    head_line: int = 1
    rows: tuple[tuple[int, tuple[str, ...]], ...] = ()
    findings: tuple[Finding, ...] = ()
    notes: tuple[str, ...] = ()
    delimiter: str = ","
    encoding: str = "utf-8-sig"
    numbers: frozenset[tuple[int, str]] = field(default_factory=frozenset)


def read_table(raw: bytes, source: str, *, encoding: str = "", delimiter: str = "") -> Table:
    """The table in a file's bytes; an ``encoding`` or ``delimiter`` that is named holds, else it is found out.

    Raises:
        FileRefused: ``encoding`` is no encoding.
    """
    if raw.startswith((ZIPPED, _OLD_BOOK)):
        return _of_book(raw, source)
    for begins, says in _NO_TABLE:
        if raw[:200].lstrip().lower().startswith(begins.lower()):
            return _off(source, None, says, "export the table as CSV or XLSX")
    found = Encoding(encoding, is_told=True) if encoding else detected(raw)
    text = decode(raw, source, found.name)
    if isinstance(text, Finding):
        return Table(source, findings=(text,))
    if "\0" in text:
        line = text.count("\n", 0, text.index("\0")) + 1
        return _off(source, line, "holds a NUL character, so it is no CSV text", "export the file again as CSV")
    dialect = dialect_of(text, delimiter=delimiter)
    table = _of_text(text, source, dialect)
    notes = _said(source, found, dialect, is_named=bool(encoding), is_plain=bool(delimiter))
    return replace(table, notes=(*notes, *table.notes), delimiter=dialect.delimiter, encoding=found.name)


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
        line = trouble.object.count(b"\n", 0, trouble.start) + 1
        name = encoding.removesuffix("-sig").upper()
        says = f"holds the byte {trouble.object[trouble.start]:02X}, which is no {name} text"
        do = "save the file as UTF-8, or name its encoding (for example cp1252)"
        return Finding(source, line, "", "", says, do)


def _off(source: str, line: int | None, says: str, do: str) -> Table:
    return Table(source, findings=(Finding(source, line, "", "", says, do),))


def _of_book(raw: bytes, source: str) -> Table:
    if raw.startswith(_OLD_BOOK):
        return _off(source, None, "is an old binary workbook", "save it as XLSX, or as CSV")
    try:
        with ZipFile(io.BytesIO(raw)) as packed:
            is_open = "mimetype" in packed.namelist() and b"opendocument" in packed.open("mimetype").read(200)
    except Exception:
        is_open = False  # the reader of workbooks says what is wrong
    book = read_ods(raw, source) if is_open else read_xlsx(raw, source)
    if book.findings:
        return Table(source, findings=book.findings)
    table = _of_text(book.csv.decode(), source, Dialect(",", '"', 0))
    notes = (f"{source}: read as a workbook, its first sheet", *table.notes)
    names = [name.casefold() for name in table.header]
    numbers = frozenset(
        (row, names[column]) for row, column in book.numbers if row > table.head_line and column < len(names)
    )
    return replace(table, notes=notes, numbers=numbers)


def _said(source: str, found: Encoding, dialect: Dialect, *, is_named: bool, is_plain: bool) -> tuple[str, ...]:
    """A note where the file isn't UTF-8 with commas."""
    said = []
    if not is_named and found.name != "utf-8-sig":
        words = ", as in " + ", ".join(f"'{word}'" for word in found.words) if found.words else ""
        said.append(f"{found.name.upper()}{words}{'' if found.is_told else ' (else name the encoding)'}")
    if not is_plain and dialect.delimiter != ",":
        named = DELIMITERS.get(dialect.delimiter, f"'{dialect.delimiter}'")
        said.append(f"cells apart by {named}")
    if dialect.quote != '"':
        said.append("cells in single quotes")
    return (f"{source}: read as {', '.join(said)}",) if said else ()


def _of_text(text: str, source: str, dialect: Dialect) -> Table:
    line = 1
    rows: list[tuple[int, tuple[str, ...]]] = []
    findings: tuple[Finding, ...] = ()
    try:
        for line, cells in records(text, dialect, strict=True):
            stripped = tuple(map(str.strip, cells))
            if any(stripped):
                rows.append((line, stripped))
    except csv.Error as trouble:
        line = rows[-1][0] + 1 if rows else line
        says = f"is no well-formed CSV from here on ({trouble})"
        do = "close every quote, double the quotes inside a cell"
        findings = (Finding(source, _broken_at(text, dialect, line), "", "", says, do),)
    return _settled(source, rows, findings)


def _broken_at(text: str, dialect: Dialect, line: int) -> int:
    """The line of the record that can't be read: the one after the last that could."""
    try:
        for started, cells in records(text, dialect, strict=True):
            line = started + 1 + sum(cell.count("\n") for cell in cells)
    except csv.Error:
        pass
    return line


def _settled(source: str, rows: list[tuple[int, tuple[str, ...]]], findings: tuple[Finding, ...]) -> Table:
    """Header, rows, and notes on what was passed over."""
    notes = []
    head = _head(rows)
    notes += [f"{source}, line {line}: '{_told(cells)}' above the header is passed over" for line, cells in rows[:head]]
    if not rows:
        return Table(source, findings=findings)
    head_line, header = rows[head]
    width = len(header)
    while width > 1 and not header[width - 1]:
        width -= 1
    kept = []
    for line, cells in rows[head + 1 :]:
        if _is_total(cells):
            notes.append(f"{source}, line {line}: '{_told(cells)}' looks like a total and is passed over")
        else:
            kept.append((line, cells[:width] if len(cells) == len(header) and not any(cells[width:]) else cells))
    return Table(source, header[:width], head_line, tuple(kept), findings, tuple(notes))


def _head(rows: list[tuple[int, tuple[str, ...]]]) -> int:
    """The place of the header: the first row, unless it is a title, one cell alone above a row of three or more."""
    for place, (_, cells) in enumerate(rows[:10]):
        if sum(map(bool, cells)) > 1:
            return place if sum(map(bool, cells)) > 2 and len(rows) > place + 1 else 0
    return 0


def _is_total(cells: tuple[str, ...]) -> bool:
    """A word for a total first, beside it nothing but amounts and at least one empty cell."""
    filled = [cell for cell in cells if cell]
    is_word = filled[0].strip(" :.*").casefold() in _TOTALS
    return is_word and len(filled) < len(cells) and all(_AMOUNT.fullmatch(cell) for cell in filled[1:])


def _told(cells: tuple[str, ...]) -> str:
    told = "; ".join(cell for cell in cells if cell)
    return told if len(told) <= 60 else told[:57] + "..."
