"""An OpenDocument spreadsheet's first sheet, as the CSV that its author meant.

The format is ISO/IEC 26300 (OASIS OpenDocument 1.2, part 1, clause 9: tables); the cells are read by python-calamine. A
formula gives the value that was saved with it; without one it is a finding, as in :mod:`fulfil.files.rows.xlsx_rows`.
"""

import io
import re
from zipfile import ZipFile

from defusedxml.ElementTree import iterparse

from fulfil.files.rows.sheet_rows import SheetRead, as_csv, no_sheet
from fulfil.files.rows.workbook_limits import MOST_CELLS, pieces, too_much, words

_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_ROW = f"{_TABLE}table-row"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_COLUMNS_TIMES, _ROWS_TIMES = f"{_TABLE}number-columns-repeated", f"{_TABLE}number-rows-repeated"
_VALUES = {"{urn:oasis:names:tc:opendocument:xmlns:office:1.0}value-type", f"{_TABLE}formula"}
_CELL = re.compile(rb"<table:table-cell\b[^>]*\btable:formula=\"([^\"]*)\"[^>]*>")
_SAVED = re.compile(rb"office:(?:string-|date-|time-|boolean-)?value=")


def read_ods(raw: bytes, source: str) -> SheetRead:
    """The first sheet of a spreadsheet's bytes."""
    # Loaded late: most shops read CSV only.
    from python_calamine import CalamineWorkbook

    do = "save it again as ODS, or as CSV"
    try:
        with ZipFile(io.BytesIO(raw)) as packed:
            off = too_much(packed)
            if off:
                return no_sheet(source, *off)
            content = b"".join(pieces(packed, packed.getinfo("content.xml")))
        off = _repeats(content)
        if off:
            return no_sheet(source, *off)
        unsaved = _unsaved(content)
        if unsaved:
            says = f"holds the formula {unsaved} whose value was not saved"
            return no_sheet(source, says, "open the file in a spreadsheet, save it, import it again")
        book = CalamineWorkbook.from_filelike(io.BytesIO(raw))
        rows = book.get_sheet_by_index(0).to_python(skip_empty_area=False)
    except (KeyboardInterrupt, SystemExit):
        raise
    except BaseException as trouble:  # damaged XML makes readers raise anything, a compiled one no Exception
        return no_sheet(source, f"is no OpenDocument spreadsheet, or a damaged one ({words(trouble)})", do)
    return as_csv(rows, {}, source)


def _repeats(content: bytes) -> tuple[str, str] | None:
    """Why the sheet isn't read: a few bytes can say that a filled cell or row is repeated a million times.

    Empty cells at a row's end and empty rows are the rest of the sheet, and cost nothing.
    """
    cells = rows = width = filled = 0
    for event, element in iterparse(io.BytesIO(content), ("start", "end")):
        if element.tag == _ROW and event == "start":
            width = filled = 0
        elif element.tag in _CELLS and event == "end":
            width += int(element.get(_COLUMNS_TIMES, "1"))
            filled = width if len(element) or element.attrib.keys() & _VALUES else filled
        elif element.tag == _ROW:
            times = int(element.get(_ROWS_TIMES, "1")) if filled else 0
            rows, cells = rows + times, cells + times * filled
            element.clear()
        if cells > MOST_CELLS:
            says = f"has more than {MOST_CELLS:,} cells by its row {rows:,}"
            return (says, "delete what stands after the table, or save it as CSV")
    return None


def _unsaved(content: bytes) -> str:
    """The first formula of the file without a value beside it; empty where all have one."""
    for cell in _CELL.finditer(content):
        if not _SAVED.search(cell[0]) and b"<text:p" not in content[cell.end() : cell.end() + 8]:
            return cell[1].decode("utf-8", "replace")[:60]
    return ""
