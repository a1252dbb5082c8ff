"""Print and export what goes to customs: CN 22 labels, CN 23 pages, commercial invoices; the same as CSV and JSON.

A paper that customs would turn back isn't printed, nor one for a package that its service won't take or that waits for
a review of its hazards: the findings come first. What was printed is kept: a paper that still fits its package is
printed again byte for byte (:mod:`fulfil.despatch.abroad.papers_due`).
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime
from itertools import groupby
from pathlib import Path

from fulfil.despatch.abroad.customs import PackageCustoms, customs_rows
from fulfil.despatch.abroad.customs_sheets import customs_sheets, invoice_sheet, order_customs, postage_of
from fulfil.despatch.abroad.papers_due import KeptPaper, fitting_paper, form_of_sheet, kept_json
from fulfil.despatch.pack import stops
from fulfil.errors import PaperRefused
from fulfil.files.spreadsheet import csv_bytes
from fulfil.files.written import write_all
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import NUMBERED, CustomsSheet
from fulfil.papers.despatch.invoice import InvoiceSheet
from fulfil.papers.door import leaves
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.papers import PapersPrinted
from fulfil.records.equipment import PrinterRecord
from fulfil.records.finding import Finding
from fulfil.records.order import Order
from fulfil.records.settings import Paper, Settings
from fulfil.shipping.customs import Form
from fulfil.shop.printing import Send, print_sheets
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class CustomsSet:
    """What an order declares, with the forms that are printed, what must be put right first, and the papers."""

    declared: tuple[PackageCustoms, ...]
    findings: tuple[Finding, ...]
    papers: tuple[KeptPaper, ...]

    def of(self, package_number: str) -> list[KeptPaper]:
        """The papers that are about a package: its declaration, and an invoice that names it."""
        return [paper for paper in self.papers if package_number in _about(paper.sheet)]


@dataclass(frozen=True)
class CustomsPapers:
    """What an order declares, what must be put right first, and the files that were written."""

    declared: tuple[PackageCustoms, ...]
    findings: tuple[Finding, ...]
    written: tuple[Path, ...]


def declare_order(
    shop: Shop, number: str, out: Path, *, day: date, at: datetime, person: str, for_spreadsheet: bool = False
) -> CustomsPapers:
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
        due = customs_set(books, order, day=day)
        settings = books.settings()
        begins = despatch_name(books, order, [one.package for one in due.declared])
    if not due.papers:
        return CustomsPapers(due.declared, due.findings, ())
    written = print_kept(due.papers, out, begins=begins)
    written += write_all(out, customs_data(due.declared, settings, begins, for_spreadsheet=for_spreadsheet))
    with shop.writing() as books:
        books.add([printed_of(one.package.number, due.of(one.package.number), at, person) for one in due.declared])
    return CustomsPapers(due.declared, (), tuple(written))


def customs_set(books: Books, order: Order, *, day: date) -> CustomsSet:
    """The customs papers of an order: those that were printed and still fit, new ones where none does."""
    declared = tuple(one for one in order_customs(books, order, day=day) if one.form is not Form.NONE)
    findings = tuple(finding for one in declared for finding in stops(books, one.package, order, None, one))
    if findings or not declared:
        return CustomsSet(declared, findings, ())
    settings = books.settings()
    papers = []
    for sheet in _sheets(books, order, declared, day):
        about = [one for one in declared if one.package.number in _about(sheet)]
        kept = [fitting_paper(books, one, form_of_sheet(sheet)) for one in about]
        first = kept[0]
        is_kept = first is not None and all(each == first for each in kept) and _about(first.sheet) == _about(sheet)
        new = KeptPaper(sheet, settings.paper, settings.printer_dpi)
        papers.append(first if first is not None and is_kept else new)
    printed = {number: paper.sheet for paper in papers for number in _about(paper.sheet)
               if isinstance(paper.sheet, CustomsSheet)}  # fmt: skip
    days = {
        number: paper.sheet.day
        for paper in papers[::-1]
        for number in _about(paper.sheet)
        if isinstance(paper.sheet, CustomsSheet | InvoiceSheet)
    }
    bill = next((paper.sheet.document_number for paper in papers if isinstance(paper.sheet, InvoiceSheet)), "")
    as_printed = tuple(
        replace(
            one,
            form=form_of_sheet(printed[one.package.number]) if one.package.number in printed else one.form,
            posted_on=days.get(one.package.number, day),
            postage=postage_of(books, one, day),
            document=bill,
        )
        for one in declared
    )
    return CustomsSet(as_printed, (), tuple(papers))


def print_kept(
    papers: Sequence[KeptPaper],
    out: Path,
    *,
    begins: str,
    printers: Sequence[PrinterRecord] = (),
    send: Send | None = None,
) -> list[Path]:
    """Prints papers as they were, or are first, printed: one file for each kind, in the order of its first sheet.

    Where ``printers`` are given, a kind is made for the one that it goes to, and ``send`` gets it there.
    """
    kinds = list(dict.fromkeys(type(paper.sheet) for paper in papers))
    ranked = sorted(papers, key=lambda paper: (kinds.index(type(paper.sheet)), paper.paper, paper.printer_dpi))
    written: list[Path] = []
    for (kind, page, dpi), each in groupby(ranked, lambda one: (type(one.sheet), one.paper, one.printer_dpi)):
        name = f"{begins}-{paper_of(kind).file}"
        if any(path.stem == name for path in written):
            name = f"{name}-{page}-{dpi}"
        sheets = [one.sheet for one in each]
        written += print_sheets(sheets, out, printer=_On(page, dpi), name=name, printers=printers, send=send)
    return written


def customs_data(
    declared: Sequence[PackageCustoms], sender: Settings, begins: str, *, for_spreadsheet: bool = False
) -> dict[str, bytes]:
    """What is declared, as files for machines, by their names."""
    if not declared:
        return {}
    rows = customs_rows(declared, sender)
    heads = list(rows[0])
    cells = [[row[head] for head in heads] for row in rows]
    return {
        f"{begins}-customs.json": json.dumps(rows, ensure_ascii=False, indent=1).encode() + b"\n",
        f"{begins}-customs.csv": csv_bytes(heads, cells, for_spreadsheet=for_spreadsheet),
    }


def despatch_name(books: Books, order: Order, packages: Sequence[Package]) -> str:
    """What the files of an order's despatch begin with: its number; of a later despatch its first package's too."""
    here = {package.number for package in packages}
    sent = books.find(Package, order_number=order.number, state=PackageState.SHIPPED)
    is_later = any(package.number not in here and package.number < min(here, default="") for package in sent)
    return f"{order.number}-{min(here)}" if is_later else order.number


def printed_of(package_number: str, papers: Sequence[KeptPaper], at: datetime, person: str) -> PapersPrinted:
    """The record of a package's papers."""
    return PapersPrinted(
        package_number=package_number,
        names="; ".join(dict.fromkeys(paper_of(type(one.sheet)).file for one in papers)),
        customs=kept_json(papers),
        at=at,
        person=person,
    )


@dataclass(frozen=True)
class _On:
    """What is printed on."""

    paper: Paper
    printer_dpi: int


def _about(sheet: Sheet) -> tuple[str, ...]:
    """The numbers of the packages that a customs paper is about."""
    if isinstance(sheet, CustomsSheet):
        return (NUMBERED.key(sheet.document_number) or "",)
    return tuple(one.number for one in sheet.packages) if isinstance(sheet, InvoiceSheet) else ()


def _sheets(books: Books, order: Order, declared: tuple[PackageCustoms, ...], day: date) -> list[Sheet]:
    """Labels first, then pages, then the invoice, where one is needed."""
    sheets = customs_sheets(books, declared, day=day)
    dpi = books.settings().printer_dpi
    labels = [sheet for sheet in sheets if isinstance(sheet, Cn22Sheet) and _fits_a_label(sheet, dpi)]
    pages: list[Cn23Sheet] = []
    for sheet in sheets:
        if sheet not in labels:
            pages.append(sheet.on_a_page() if isinstance(sheet, Cn22Sheet) else sheet)
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
