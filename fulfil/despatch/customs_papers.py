"""Print and export what goes to customs: CN 22 labels, CN 23 pages, commercial invoices; the same as CSV and JSON.

A paper that customs would turn back isn't printed, nor one for a package that its service won't take or that waits for
a review of its hazards: the findings come first.
"""

import json
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from fulfil.despatch.customs import PackageCustoms, customs_rows
from fulfil.despatch.customs_sheets import customs_sheets, invoice_sheet, order_customs
from fulfil.despatch.pack import stops
from fulfil.errors import PaperRefused
from fulfil.files.spreadsheet import csv_bytes
from fulfil.files.written import write_all
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.door import leaves
from fulfil.papers.sheet import Sheet
from fulfil.records.finding import Finding
from fulfil.records.order import Order
from fulfil.records.settings import Paper
from fulfil.shipping.customs import Form
from fulfil.shop.printing import print_sheets
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class CustomsPapers:
    """What an order declares, what must be put right first, and the files that were written."""

    declared: tuple[PackageCustoms, ...]
    findings: tuple[Finding, ...]
    written: tuple[Path, ...]


def declare_order(shop: Shop, number: str, out: Path, *, day: date, for_spreadsheet: bool = False) -> CustomsPapers:
    """Prints the customs papers of an order and writes their data; nothing for an order that crosses no border.

    A CN 22 goes to the label printer, a CN 23 and the commercial invoice to pages; a CN 22 whose goods don't fit the
    label becomes a CN 23. Packages that all take a CN 22 need no invoice, and name none. Findings keep all of it back.

    Raises:
        UnknownRefused: when there is no such order.
        PaperRefused: when a text can't be printed whole.
        FileRefused: when a file can't be written.
    """
    with shop.reading() as books:
        order = books.need(Order, number)
        settings = books.settings()
        declared = tuple(one for one in order_customs(books, order, day=day) if one.form is not Form.NONE)
        findings = tuple(finding for one in declared for finding in stops(books, one.package, order))
        if findings or not declared:
            return CustomsPapers(declared, findings, ())
        sheets = _sheets(books, order, declared, day)
    data = {
        f"{number}-customs.json": json.dumps(customs_rows(declared), ensure_ascii=False, indent=1).encode() + b"\n",
        f"{number}-customs.csv": _as_csv(declared, for_spreadsheet=for_spreadsheet),
    }
    written = print_sheets(sheets, out, printer=settings) + write_all(out, data)
    return CustomsPapers(declared, (), tuple(written))


def _sheets(books: Books, order: Order, declared: tuple[PackageCustoms, ...], day: date) -> list[Sheet]:
    """Labels first, then pages, then the invoice, where one is needed."""
    sheets = customs_sheets(books, declared, day=day)
    dpi = books.settings().printer_dpi
    labels = [sheet for sheet in sheets if isinstance(sheet, Cn22Sheet) and _fits_a_label(sheet, dpi)]
    pages = [sheet.on_a_page() if isinstance(sheet, Cn22Sheet) else sheet for sheet in sheets if sheet not in labels]
    if not pages and all(one.form is not Form.INVOICE for one in declared):
        return [replace(sheet, invoice_number="") for sheet in labels]
    bill = invoice_sheet(books, order, declared, day=day)
    return [*labels, *pages, *([bill] if bill else [])]


def _fits_a_label(sheet: Cn22Sheet, printer_dpi: int) -> bool:
    """Long descriptions may not fit a CN 22; a CN 23 is right for any value."""
    try:
        leaves([sheet], page=Paper.A4, printer_dpi=printer_dpi)
    except PaperRefused:
        return False
    return True


def _as_csv(declared: tuple[PackageCustoms, ...], *, for_spreadsheet: bool) -> bytes:
    rows = customs_rows(declared)
    heads = list(rows[0])
    return csv_bytes(heads, [[row[head] for head in heads] for row in rows], for_spreadsheet=for_spreadsheet)
