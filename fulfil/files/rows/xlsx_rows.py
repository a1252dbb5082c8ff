"""A workbook's first sheet as the CSV that its author meant, so that one reader checks them all.

Text stays text: ``0012``, ``NA`` and ``=M4N`` come through as typed. A number, a date or a yes/no is written out;
which cells were numbers is told, because a part number kept as a number has lost the zeros in front. A formula gives
the value that was saved with it; without one it is a finding. The sheet's row 7 is the CSV's line 7.

Limits: the first sheet only; formats (colours, merged cells, currency signs) say nothing here.
"""

import io
from zipfile import BadZipFile, ZipFile

from fulfil.files.rows.sheet_rows import MOST_BYTES, TOO_LARGE, SheetRead, as_csv, no_sheet


def read_xlsx(raw: bytes, source: str) -> SheetRead:
    """The first sheet of a workbook's bytes."""
    # Loaded late: most shops read CSV only.
    from openpyxl import load_workbook
    from openpyxl.utils.exceptions import InvalidFileException

    try:
        with ZipFile(io.BytesIO(raw)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_BYTES:
                return no_sheet(source, *TOO_LARGE)
            sheets = [name for name in packed.namelist() if name.startswith("xl/worksheets/")]
            has_formulas = any(b"<f" in packed.read(name) for name in sheets)
        book = load_workbook(io.BytesIO(raw), read_only=True, data_only=True)
        rows = [[*row] for row in book.worksheets[0].iter_rows(values_only=True)]
        book.close()
        formulas = _formulas(raw) if has_formulas else {}
    except (BadZipFile, InvalidFileException, KeyError, IndexError, ValueError) as trouble:
        return no_sheet(source, f"is no XLSX workbook ({trouble})", "save it again as XLSX, or as CSV")
    return as_csv(rows, formulas, source)


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
