r"""A sheet's cells as the CSV that its author meant, whatever the workbook they stood in.

Text stays text, a number, a date or a yes/no is written out, and which cells were numbers is told.

>>> read = as_csv([["part", "pieces"], ["0012", 5.0]], {}, "a.xlsx")
>>> read.csv, sorted(read.numbers)
(b'part,pieces\n0012,5\n', [(2, 1)])
"""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, time
from decimal import Decimal

from fulfil.records.finding import Finding


@dataclass(frozen=True)
class SheetRead:
    """The sheet as CSV in UTF-8; ``numbers`` are (row from 1, column from 0) of cells that hold numbers."""

    csv: bytes
    findings: tuple[Finding, ...] = ()
    numbers: frozenset[tuple[int, int]] = field(default_factory=frozenset)


def no_sheet(source: str, says: str, do: str) -> SheetRead:
    """No cells, and why."""
    return SheetRead(b"", (Finding(source, None, "", "", says, do),))


def as_csv(rows: Sequence[Sequence[object]], formulas: Mapping[tuple[int, int], str], source: str) -> SheetRead:
    """The rows as CSV; a formula, by (row, column) from 0, whose cell is empty is a finding."""
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
    return SheetRead(out.getvalue().encode(), tuple(findings), frozenset(numbers))


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
