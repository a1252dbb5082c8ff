"""A workbook's first sheet as the CSV that its author meant, so that one reader checks them all.

Text stays text: ``0012``, ``NA`` and ``=M4N`` come through as typed. A number, a date or a yes/no is written out;
which cells were numbers is told, because a part number kept as a number has lost the zeros in front. A formula gives
the value that was saved with it; without one it is a finding. The sheet's row 7 is the CSV's line 7.

Limits: the first sheet only; formats (colours, merged cells, currency signs) say nothing here.
"""

import csv
import io
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal
from zipfile import BadZipFile, ZipFile

from fulfil.records.finding import Finding

MOST_BYTES = 1_000_000_000
"""A workbook that unpacks to more than this isn't read: nobody's day of orders is that large."""


@dataclass(frozen=True)
class XlsxRead:
    """The sheet as CSV in UTF-8; ``numbers`` are (row from 1, column from 0) of cells that hold numbers."""

    csv: bytes
    findings: tuple[Finding, ...] = ()
    numbers: frozenset[tuple[int, int]] = field(default_factory=frozenset)


def read_xlsx(raw: bytes, source: str) -> XlsxRead:
    """The first sheet of a workbook's bytes."""
    # Loaded late: most shops read CSV only.
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with ZipFile(io.BytesIO(raw)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_BYTES:
                return _refused(source, "unpacks to more than a gigabyte", "export the day's orders only")
            sheets = [name for name in packed.namelist() if name.startswith("xl/worksheets/")]
            has_formulas = any(b"<f" in packed.read(name) for name in sheets)
        book = load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        rows = [[*row] for row in book.worksheets[0].iter_rows(values_only=True)]
        book.close()
        formulas = _formulas(raw) if has_formulas else {}
    except (BadZipFile, InvalidFileException, KeyError, IndexError, ValueError) as trouble:
        return _refused(source, f"is no XLSX workbook ({trouble})", "save it again as XLSX, or as CSV")
    return _as_csv(rows, formulas, source)


def _refused(source: str, says: str, do: str) -> XlsxRead:
    return XlsxRead(b"", (Finding(source, None, "", "", says, do),))


def _formulas(raw: bytes) -> dict[tuple[int, int], str]:
    """(row, column) of each formula, counted from 0."""
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(raw), read_only=True, data_only=False)
    found = {
        (row_no, column): str(cell.value)
        for row_no, row in enumerate(book.worksheets[0].iter_rows())
        for column, cell in enumerate(row)
        if cell.value is not None and cell.data_type == "f"
    }
    book.close()
    return found


def _as_csv(rows: list[list[object]], formulas: dict[tuple[int, int], str], source: str) -> XlsxRead:
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\n")
    header: list[str] = []
    findings: list[Finding] = []
    numbers: set[tuple[int, int]] = set()
    told = [[_text(value) for value in row] for row in rows]
    width = max((place + 1 for cells in told for place, cell in enumerate(cells) if cell), default=0)
    for place, (row, cells) in enumerate(zip(rows, told, strict=True)):
        kept = (cells + [""] * width)[:width]
        if sum(map(bool, header)) < 2:
            header = kept if any(kept) else header
        for column, value in enumerate(row[:width]):
            if isinstance(value, int | float) and not isinstance(value, bool):
                numbers.add((place + 1, column))
            if (place, column) in formulas and not kept[column]:
                says = "is a formula whose value was not saved"
                do = "open the file in a spreadsheet, save it, import it again"
                name = header[column].casefold()
                findings.append(Finding(source, place + 1, name, formulas[place, column][:60], says, do))
        writer.writerow(kept)
    return XlsxRead(out.getvalue().encode(), tuple(findings), frozenset(numbers))


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else f"{Decimal(f'{value:.15g}'):f}"
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    return " ".join(str(value).split())
