"""Tables as a workbook (XLSX): one sheet each, text as text and whole numbers as numbers; the same bytes every time.

Amounts and masses are text cells of exact digits that look like numbers, so they are written as numbers with their own
count of decimals; codes and names stay text, whatever they look like.

>>> import io
>>> from openpyxl import load_workbook
>>> made = workbook_bytes({"goods": (("part", "value"), [("0012", Decimal("3.50"))])})
>>> [[cell.value for cell in row] for row in load_workbook(io.BytesIO(made))["goods"].iter_rows()]
[['part', 'value'], ['0012', 3.5]]
>>> made == workbook_bytes({"goods": (("part", "value"), [("0012", Decimal("3.50"))])})
True
"""

import io
import re
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font

Sheet = tuple[Sequence[str], Iterable[Sequence[str | int | Decimal]]]
"""Heads, and rows of cells."""
_MOMENT = re.compile(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*")


def workbook_bytes(sheets: Mapping[str, Sheet]) -> bytes:
    """The workbook's bytes; times inside it are fixed, so the same tables give the same file."""
    book = Workbook(write_only=True)
    for name, (heads, rows) in sheets.items():
        sheet = book.create_sheet(name)
        sheet.freeze_panes = "A2"
        titles = [WriteOnlyCell(sheet, head) for head in heads]
        for title in titles:
            title.font = Font(bold=True)
        sheet.append(titles)
        for row in rows:
            sheet.append([_cell(sheet, said) for said in row])
    raw = io.BytesIO()
    book.save(raw)
    return _without_times(raw.getvalue())


def _cell(sheet: object, said: str | int | Decimal) -> WriteOnlyCell:
    cell = WriteOnlyCell(sheet, said)
    if isinstance(said, str):
        # A text that begins with '=' stays a text.
        cell.data_type = "s"
    if isinstance(said, Decimal):
        digits = said.as_tuple().exponent
        cell.number_format = f"0.{'0' * -digits}" if isinstance(digits, int) and digits < 0 else "0"
    return cell


def _without_times(raw: bytes) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(raw)) as before, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as after:
        for one in before.infolist():
            content = _MOMENT.sub(rb"\g<1>2000-01-01T00:00:00Z", before.read(one))
            after.writestr(zipfile.ZipInfo(one.filename, (1980, 1, 1, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
    return made.getvalue()
