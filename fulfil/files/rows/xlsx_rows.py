"""A workbook's first sheet as the CSV that its author meant, so that one reader checks them all.

Text stays text: ``0012``, ``NA`` and ``=M4N`` come through as typed. A number, a date or a yes/no is written out;
which cells were numbers is told, because a part number kept as a number has lost the zeros in front. A formula gives
the value that was saved with it; without one it is a finding. The sheet's row 7 is the CSV's line 7.

Limits: the first sheet only; formats (colours, merged cells, currency signs) say nothing here.
"""

import io
import re
import warnings
from contextlib import suppress
from zipfile import ZipFile

from fulfil.files.rows.sheet_rows import SheetRead, as_csv, no_sheet
from fulfil.files.rows.workbook_limits import holds, pieces, too_much, too_wide, words

_SHEET = re.compile(r"xl/worksheets/[^/]+\.xml")
_DO = "save it again as XLSX, or as CSV"


def read_xlsx(raw: bytes, source: str) -> SheetRead:
    """The first sheet of a workbook's bytes; of a damaged or monstrous one no cells, and why."""
    try:
        with warnings.catch_warnings(), ZipFile(io.BytesIO(raw)) as packed:
            warnings.simplefilter("ignore")  # what the reader leaves out (styles, extensions) says nothing here
            off = too_much(packed)
            sheets = [] if off else [name for name in packed.namelist() if _SHEET.fullmatch(name)]
            off = off or next((says for name in sheets if (says := too_wide(packed, name))), None)
            if off:
                return no_sheet(source, *off)
            has_formulas = any(holds(pieces(packed, packed.getinfo(name)), b"<f") for name in sheets)
            rows = _rows(raw)
            formulas = _formulas(raw) if has_formulas else {}
    except Exception as trouble:  # a damaged workbook makes zip, XML and workbook readers raise anything they have
        return no_sheet(source, f"is no XLSX workbook, or a damaged one ({words(trouble)})", _DO)
    return as_csv(rows, formulas, source)


def _rows(raw: bytes) -> list[list[object]]:
    # Loaded late: most shops read CSV only.
    from openpyxl import load_workbook

    book = load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
    try:
        return [[*row] for row in book.worksheets[0].iter_rows(values_only=True)]
    finally:
        with suppress(Exception):
            book.close()


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
