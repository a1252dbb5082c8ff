"""Which customs papers a package must have, which were printed, and whether they still say what is in it.

A paper counts when it was printed for this package (:class:`~fulfil.records.despatch.papers.PapersPrinted`) and still
says where the package goes, what it weighs, and which goods of which value, commodity code and origin are in it. Net
masses may differ by what was learned of unit weights since; the gross mass is the scale's. A CN 23 is right for any
value, so it stands for a CN 22; with a CN 23 goes the commercial invoice that it names.

Which form a package takes says :func:`fulfil.shipping.customs.form_of`. What is kept of a printed customs paper is its
sheet, so that a reprint is the same byte for byte (:func:`kept_papers`).

Limits: whether the paper lies on the package, nobody knows but who put it there.
"""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from fulfil.despatch.abroad.customs import PackageCustoms, crosses_border, customs_of
from fulfil.despatch.inside import Inside
from fulfil.despatch.package_papers import consignee_lines
from fulfil.papers.despatch.cn22 import Cn22Sheet
from fulfil.papers.despatch.cn23 import Cn23Sheet
from fulfil.papers.despatch.customs import CustomsSheet
from fulfil.papers.despatch.invoice import InvoiceSheet
from fulfil.papers.kept import KeptShape, as_it_was
from fulfil.papers.sheet import Sheet
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.papers import PapersPrinted
from fulfil.records.finding import Finding
from fulfil.records.order import Order
from fulfil.records.settings import Paper
from fulfil.shipping.customs import Form
from fulfil.standards import iso3166
from fulfil.store.books import Books

KEPT: Mapping[str, KeptShape[Any]] = {
    Form.CN22.value: KeptShape(Cn22Sheet, steps=(as_it_was, as_it_was)),
    Form.CN23.value: KeptShape(Cn23Sheet, steps=(as_it_was, as_it_was)),
    Form.INVOICE.value: KeptShape(InvoiceSheet, steps=(as_it_was,)),
}
"""How printed customs papers are kept: when a sheet changes, add a step."""
_FORMS = {Cn22Sheet: Form.CN22, Cn23Sheet: Form.CN23, InvoiceSheet: Form.INVOICE}
_Goods = dict[tuple[str, str, str], tuple[int, int]]
"""Pieces and value by description, commodity code (six digits) and origin."""


@dataclass(frozen=True)
class KeptPaper:
    """A customs paper as it was printed, and on what."""

    sheet: Sheet
    paper: Paper
    printer_dpi: int


@dataclass(frozen=True)
class CustomsLack:
    """A paper that a package must have and hasn't; ``is_outdated``: one was printed that no longer fits."""

    package_number: str
    order_number: str
    country: str
    paper: str
    is_outdated: bool = False

    @property
    def says(self) -> str:
        """What it lacks, in a few words."""
        return f"{self.package_number} (order {self.order_number}) lacks its {self.paper}"

    @property
    def finding(self) -> Finding:
        """The lack with what to do while the package is here."""
        to, command = f"goes to {self.country}", f"'fulfil packages papers {self.order_number} --out papers'"
        says = f"{to} and lacks its {self.paper}"
        do = f"print it with {command} and put it on the package"
        if self.is_outdated:
            says = f"{to}, and its {self.paper} was printed before something on it changed"
            do = f"print it again with {command} and take the old one off"
        return Finding(f"package {self.package_number}", None, "customs paper", self.paper, says, do)

    @property
    def left_finding(self) -> Finding:
        """The lack with what to do once the package has left."""
        says = f"went to {self.country} and left without its {self.paper}"
        do = "tell the carrier and the consignee, and send the paper after it"
        return Finding(f"package {self.package_number}", None, "customs paper", self.paper, says, do)


def customs_lacks(
    books: Books,
    package: Package,
    order: Order,
    *,
    day: date,
    until: datetime | None = None,
    content: Inside | None = None,
    declared: PackageCustoms | None = None,
) -> list[CustomsLack]:
    """The customs papers that a package lacks; none for one that crosses no border.

    ``until`` leaves out what was printed later, as after the package had left; ``content`` is what is in it, where
    that has been read; ``declared`` is its declaration, where that was made.
    """
    if declared is None and not crosses_border(books, order):
        return []
    one = customs_of(books, package, order, day=day, content=content) if declared is None else declared
    printed = [kept.sheet for kept in kept_papers(books, package.number, until=until)]
    fits = _fits(one) if printed else None  # most are sealed before anything is printed
    due = {
        Form.CN22: (Form.CN22,),
        Form.CN23: (Form.CN23, Form.INVOICE),
        Form.INVOICE: (Form.INVOICE,),
    }.get(one.form, ())
    country = iso3166.parse(order.country).label_name
    lacks = []
    for form in due:
        stands = [sheet for sheet in printed if _stands_for(form, sheet)]
        if fits is None or not any(fits(sheet) for sheet in stands):
            lacks.append(CustomsLack(package.number, order.number, country, form.value, bool(stands)))
    return lacks


def lacks_of(books: Books, packages: Iterable[Package], *, day: date) -> list[CustomsLack]:
    """The customs papers that these packages lack, in their order."""
    found = []
    for package in packages:
        found += customs_lacks(books, package, books.need(Order, package.order_number), day=day)
    return found


def kept_papers(books: Books, package_number: str, *, until: datetime | None = None) -> list[KeptPaper]:
    """The customs papers that were printed for a package, the newest first."""
    printed = books.find(PapersPrinted, package_number=package_number)
    return [
        KeptPaper(KEPT[form].sheet(text), Paper(page), printer_dpi)
        for one in sorted(printed, key=lambda one: one.at)[::-1]
        if until is None or one.at <= until
        for form, page, printer_dpi, text in json.loads(one.customs)
    ]


def fitting_paper(books: Books, one: PackageCustoms, form: Form) -> KeptPaper | None:
    """The newest paper of this form that was printed for a package and still fits it."""
    fits = _fits(one)
    kept = kept_papers(books, one.package.number)
    return next((paper for paper in kept if form_of_sheet(paper.sheet) is form and fits(paper.sheet)), None)


def kept_json(papers: Iterable[KeptPaper]) -> str:
    """Customs papers as they are kept, each with what it was printed on; other papers are left out."""
    kept = [
        (form.value, one.paper.value, one.printer_dpi, KEPT[form.value].json(one.sheet))
        for one in papers
        if (form := form_of_sheet(one.sheet)) is not Form.NONE
    ]
    return json.dumps(kept, ensure_ascii=False)


def form_of_sheet(sheet: Sheet) -> Form:
    """Which customs paper a sheet is; ``Form.NONE`` for any other."""
    return _FORMS.get(type(sheet), Form.NONE)


def _stands_for(form: Form, sheet: Sheet) -> bool:
    found = form_of_sheet(sheet)
    return found is form or (form is Form.CN22 and found is Form.CN23)


def _fits(one: PackageCustoms) -> Callable[[Sheet], bool]:
    """Whether a sheet says what is to be said of a package now."""
    to_lines, package = consignee_lines(one.order), one.package
    told = (one.declaration.category, one.said.sender_reference, one.said.importer_reference)
    declared = _goods(
        (line.description, line.hs_code, line.origin, line.pieces, line.value_minor) for line in one.declaration.lines
    )

    def fits(sheet: Sheet) -> bool:
        if isinstance(sheet, CustomsSheet):
            said = _goods((row.description, row.hs_code, row.origin, row.pieces, row.value_minor) for row in sheet.rows)
            ours = (to_lines, one.order.currency, one.declaration.gross_g, one.item_number, declared, *told)
            theirs = (sheet.category, sheet.sender_reference, sheet.importer_reference)
            is_told = not one.said.comment or one.said.comment in sheet.comments
            return is_told and ours == (
                sheet.to_lines, sheet.currency, sheet.gross_g, sheet.item_number, said, *theirs,
            )  # fmt: skip
        if isinstance(sheet, InvoiceSheet):
            said = _goods(
                (row.description, row.hs_code, row.origin, row.pieces, row.amount_minor) for row in sheet.rows
            )
            is_named = any((each.number, each.gross_g) == (package.number, package.gross_g) for each in sheet.packages)
            is_same = (to_lines, one.order.currency) == (sheet.to_lines, sheet.currency)
            is_whole = declared == said if len(sheet.packages) == 1 else _holds(said, declared)
            return is_named and is_same and is_whole
        return False

    return fits


def _goods(rows: Iterable[tuple[str, str, str, int, int]]) -> _Goods:
    found: _Goods = defaultdict(lambda: (0, 0))
    for description, code, origin, pieces, value_minor in rows:
        kind = (description, "".join(filter(str.isdigit, code))[:6], origin)
        found[kind] = (found[kind][0] + pieces, found[kind][1] + value_minor)
    return dict(found)


def _holds(all_of_it: _Goods, part: _Goods) -> bool:
    """Whether an invoice over several packages has room for the goods of one of them."""
    return all(
        kind in all_of_it and all_of_it[kind][0] >= pieces and all_of_it[kind][1] >= value
        for kind, (pieces, value) in part.items()
    )
