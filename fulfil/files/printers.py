"""``printers.csv``: which printers there are, what lies in them, which papers go to them.

The file may be missing: then the shop's printers stay as they are. Whether the media and the papers are ones that there
are is asked by the import (:func:`fulfil.shop.printers.must_suit`), since files know no paper.

>>> [column.name for column in PRINTERS][:4]
['printer', 'dpi', 'media', 'papers']
"""

from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from fulfil.errors import QuantityRefused
from fulfil.files.columns import Column, whole, yes_or_no
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.equipment import PrinterRecord


def _shift_mm(cell: str) -> float:
    try:
        shift = Decimal(cell)
    except InvalidOperation:
        shift = Decimal("NaN")
    if not shift.is_finite():
        raise QuantityRefused("read the shift", cell, "millimetres, such as 0.5 or -1.25")
    return float(shift)


PRINTERS = (
    Column("printer", "name"),
    Column("dpi", "dpi", whole, do="copy it from the printer's plate or handbook, such as 203"),
    Column("media", "media", do="write A4, Letter, or a label's width x height in mm, such as 60x40"),
    Column("papers", "papers", is_needed=False),
    Column("drawn_as", "language", is_needed=False),
    Column("sends_to", "sends_to", is_needed=False),
    Column("shift_right_mm", "right_mm", _shift_mm, is_needed=False),
    Column("shift_down_mm", "down_mm", _shift_mm, is_needed=False),
    Column("retired", "is_retired", yes_or_no, is_needed=False),
)


def read_printers(rows: Iterable[Row], file: FileReading) -> tuple[PrinterRecord, ...]:
    """The printers; what is wrong, or a name that comes twice, goes to the file's findings."""
    found = []
    for row in rows:
        values = file.values(PRINTERS, row)
        printer = None if values is None else file.build(PrinterRecord, PRINTERS, row, values)
        if printer is not None and file.is_new(row, "printer", printer.name):
            found.append(printer)
    return tuple(found)
