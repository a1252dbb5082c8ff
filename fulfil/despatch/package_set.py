"""All papers of packages in one go, in the order of the hands: packing list, label, customs papers, invoice.

For one order each paper is a file of its own. For many, two stacks are printed, one for each printer: *labels* (package
label, then its CN 22) and *pages* (packing list, CN 23, invoice), package after package in the same order, so that the
clerk takes one off each printer and never searches.

Customs papers say what the scale said: they come out once all packages of the order are weighed, packing list and
labels before it too. Numbers out of the shop's ranges are given first, so that label and customs paper say the same.
What customs would turn back keeps its order out of the stacks and is named; the other orders are printed. What was
printed is kept (:mod:`fulfil.despatch.abroad.papers_due`).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from fulfil.despatch.abroad.customs_papers import (
    CustomsSet,
    customs_data,
    customs_set,
    despatch_name,
    print_kept,
    printed_of,
)
from fulfil.despatch.abroad.papers_due import KeptPaper, form_of_sheet
from fulfil.despatch.package_papers import order_sheets, packages_of
from fulfil.despatch.ship import issue_identifiers
from fulfil.files.written import write_all
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.logistic_label import LogisticLabelSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.door import stack
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.records.despatch.dispatch import Package
from fulfil.records.equipment import PrinterRecord
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.identifier import Identifier
from fulfil.records.order import Order
from fulfil.records.settings import Paper, Settings
from fulfil.shipping.customs import Form
from fulfil.shop.printing import Send
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_LABELS = (PackageLabelSheet, LogisticLabelSheet, Cn22Sheet)


@dataclass(frozen=True)
class PrintedPackage:
    """A package and the papers that came out for it, in the order of the hands."""

    package_number: str
    order_number: str
    papers: tuple[str, ...]


@dataclass(frozen=True)
class PrintedSet:
    """Packages as printed, the files, the numbers that the packages have, and what keeps orders out of the stacks."""

    packages: tuple[PrintedPackage, ...]
    written: tuple[Path, ...]
    numbers: tuple[Identifier, ...]
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class _OrderSet:
    order: Order
    packages: tuple[Package, ...]
    papers: tuple[KeptPaper, ...]
    customs: CustomsSet

    def of(self, number: str) -> list[KeptPaper]:
        """The papers that go with a package."""
        own = [paper for paper in self.papers if _labelled(paper.sheet) in ("", number)]
        return [paper for paper in own if form_of_sheet(paper.sheet) is Form.NONE] + self.customs.of(number)


def print_set(
    shop: Shop,
    out: Path,
    *,
    orders: Sequence[str],
    day: date,
    at: datetime,
    person: str,
    name: str = "",
    printers: Sequence[PrinterRecord] = (),
    send: Send | None = None,
) -> PrintedSet:
    """Prints all papers of these orders' packages, in the order given; ``name`` makes stacks, named so.

    What isn't a stack is made for the one of ``printers`` that it goes to, and handed to ``send``.

    Raises:
        UnknownRefused: when there is no such order.
        PaperRefused: when a text can't be printed whole.
        FileRefused: when a file can't be written.
    """
    numbers = [one for order in orders for one in issue_identifiers(shop, order, at=at, person=person)]
    with shop.reading() as books:
        settings = books.settings()
        sets = [_order_set(books, number, settings, day=day) for number in orders]
        begins = name or (despatch_name(books, sets[0].order, sets[0].packages) if sets else "")
    findings = tuple(finding for one in sets for finding in one.customs.findings)
    ready = [one for one in sets if not (name and one.customs.findings)]
    declared = [each for one in ready if not one.customs.findings for each in one.customs.declared]
    papers = [paper for one in ready for paper in one.papers]
    written = (
        _stacks(ready, out, begins, settings)
        if name
        else print_kept(papers, out, begins=begins, printers=printers, send=send)
    )
    written += write_all(out, customs_data(declared, settings, begins))
    printed = [(one, package.number) for one in ready for package in one.packages]
    with shop.writing() as books:
        books.add([printed_of(number, one.of(number), at, person) for one, number in printed])
        particulars = {"orders": [one.order.number for one in ready], "packages": len(printed)}
        if printed:
            books.journal(at=at, person=person, event=Happening.PAPERS_PRINTED, subject=begins, particulars=particulars)
    rows = tuple(
        PrintedPackage(number, one.order.number, tuple(_called(each.sheet) for each in one.of(number)))
        for one, number in printed
    )
    return PrintedSet(rows, tuple(written), tuple(numbers), findings)


def stack_name(books: Books, orders: Sequence[str], service_code: str, *, day: date) -> str:
    """What the stacks are called: day, service, and the first package, so that a later set doesn't overwrite them."""
    first = packages_of(books, books.need(Order, orders[0]))[0].number
    return "-".join(word for word in (str(day), service_code, first) if word)


def _order_set(books: Books, number: str, settings: Settings, *, day: date) -> _OrderSet:
    order = books.need(Order, number)
    packages = tuple(packages_of(books, order))
    is_weighed = all(package.gross_g is not None for package in packages)
    customs = customs_set(books, order, day=day) if is_weighed else CustomsSet((), (), ())
    own = [_new(sheet, settings) for sheet in order_sheets(books, number, day=day)]
    return _OrderSet(order, packages, (*own, *customs.papers), customs)


def _stacks(sets: Iterable[_OrderSet], out: Path, name: str, settings: Settings) -> list[Path]:
    """The two stacks, each in the order of the packages."""
    labels: list[Sheet] = []
    pages: list[Sheet] = []
    for one in sets:
        for package in one.packages:
            labels += [paper.sheet for paper in one.of(package.number) if isinstance(paper.sheet, _LABELS)]
        pages += [sheet for paper in one.papers if not isinstance(sheet := paper.sheet, _LABELS)]
    made = {}
    for word, sheets in (("labels", labels), ("pages", pages)):
        if sheets:
            title = f"{name} {word}"
            made[f"{name}-{word}.pdf"] = stack(
                sheets, page=Paper(settings.paper), printer_dpi=settings.printer_dpi, title=title
            )
    return write_all(out, made)


def _labelled(sheet: Sheet) -> str:
    """The package that a label is for; empty for other papers."""
    if isinstance(sheet, LogisticLabelSheet):
        return sheet.label.package_number
    return sheet.package_number if isinstance(sheet, PackageLabelSheet) else ""


def _called(sheet: Sheet) -> str:
    """The paper as the clerk calls it: a customs paper by its form."""
    form = form_of_sheet(sheet)
    return form.value if form is not Form.NONE else paper_of(type(sheet)).name


def _new(sheet: Sheet, settings: Settings) -> KeptPaper:
    return KeptPaper(sheet, settings.paper, settings.printer_dpi)
