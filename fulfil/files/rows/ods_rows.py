"""An OpenDocument spreadsheet's first sheet, as the CSV that its author meant.

The format is ISO/IEC 26300 (OASIS OpenDocument 1.2, part 1, clause 9: tables); the cells are read by python-calamine. A
formula gives the value that was saved with it; without one it is a finding, as in :mod:`fulfil.files.rows.xlsx_rows`.
"""

import io
import re
from zipfile import BadZipFile, ZipFile

from fulfil.files.rows.sheet_rows import MOST_BYTES, TOO_LARGE, SheetRead, as_csv, no_sheet

_CELL = re.compile(rb"<table:table-cell\b[^>]*\btable:formula=\"([^\"]*)\"[^>]*>")
_SAVED = re.compile(rb"office:(?:string-|date-|time-|boolean-)?value=")


def read_ods(raw: bytes, source: str) -> SheetRead:
    """The first sheet of a spreadsheet's bytes."""
    # Loaded late: most shops read CSV only.
    from python_calamine import CalamineError, CalamineWorkbook

    do = "save it again as ODS, or as CSV"
    try:
        with ZipFile(io.BytesIO(raw)) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_BYTES:
                return no_sheet(source, *TOO_LARGE)
            unsaved = _unsaved(packed.read("content.xml"))
        if unsaved:
            says = f"holds the formula {unsaved} whose value was not saved"
            return no_sheet(source, says, "open the file in a spreadsheet, save it, import it again")
        book = CalamineWorkbook.from_filelike(io.BytesIO(raw))
        rows = book.get_sheet_by_index(0).to_python(skip_empty_area=False)
    except (BadZipFile, KeyError, CalamineError) as trouble:
        return no_sheet(source, f"is no OpenDocument spreadsheet ({trouble})", do)
    return as_csv(rows, {}, source)


def _unsaved(content: bytes) -> str:
    """The first formula of the file without a value beside it; empty where all have one."""
    for cell in _CELL.finditer(content):
        if not _SAVED.search(cell[0]) and b"<text:p" not in content[cell.end() : cell.end() + 8]:
            return cell[1].decode("utf-8", "replace")[:60]
    return ""
