"""What kept papers say of customers that are forgotten: the closed manifest, its advices, printed customs papers.

A kept paper is read by its own shape, loses name and address of these orders, and is kept again; packages, masses,
values, goods and countries stay, and so do the other orders that are on it.
"""

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any

from fulfil.despatch import advice, manifest_paper
from fulfil.despatch.abroad.papers_due import KEPT as CUSTOMS_KEPT
from fulfil.despatch.package_papers import consignee_lines
from fulfil.papers.despatch.customs import CustomsSheet
from fulfil.papers.despatch.invoice import InvoiceSheet
from fulfil.papers.sheet import Sheet
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.despatch.papers import PapersPrinted
from fulfil.records.order import Order
from fulfil.standards.despatch_advice import DespatchAdvice, Party
from fulfil.store.books import Books

FORGOTTEN = "(forgotten)"


def forget_in_papers(books: Books, numbers: Sequence[str], *, at: datetime, person: str) -> None:
    """Takes the customers of these orders out of all papers that are kept; their orders are forgotten already."""
    packages = books.find(Package, order_number=list(numbers))
    manifests = sorted({one.manifest_number for one in packages if one.manifest_number})
    gone = {*numbers}

    def of_manifest(row: Mapping[str, Any]) -> dict[str, str]:
        return {"sheet": _sheet(row["sheet"], gone), "advices": _advices(row["advices"], gone)}

    books.erase(ManifestCopy, {"manifest_number": manifests}, of_manifest, at=at, person=person)
    orders = {one.number: one for one in books.find(Order, number=list(numbers))}
    whose = {one.number: orders[one.order_number] for one in packages}

    def of_package(row: Mapping[str, Any]) -> dict[str, str]:
        return {"customs": _customs(row["customs"], consignee_lines(whose[row["package_number"]]))}

    books.erase(PapersPrinted, {"package_number": [*whose]}, of_package, at=at, person=person)


def _sheet(kept: str, gone: Collection[str]) -> str:
    sheet = manifest_paper.sheet_of_json(kept)
    rows = [
        replace(row, consignee=FORGOTTEN, town=FORGOTTEN, post_code="") if row.order_number in gone else row
        for row in sheet.rows
    ]
    return kept if rows == [*sheet.rows] else manifest_paper.sheet_json(replace(sheet, rows=tuple(rows)))


def _advices(kept: str, gone: Collection[str]) -> str:
    advices = advice.of_json(kept)
    now = tuple(_advice(one) if one.order_number in gone else one for one in advices)
    return kept if now == advices else advice.as_json(now)


def _advice(one: DespatchAdvice) -> DespatchAdvice:
    country = one.consignee.country
    nobody = Party(name=FORGOTTEN, address_lines=(FORGOTTEN,), city=FORGOTTEN, postal_code="", country=country)
    buyer = None if one.buyer is None else nobody
    return replace(one, consignee=nobody, buyer=buyer, customer_reference="", note="")


def _customs(kept: str, to_lines: tuple[str, ...]) -> str:
    now = [
        (form, page, dpi, CUSTOMS_KEPT[form].json(_nobodys(CUSTOMS_KEPT[form].sheet(text), to_lines)))
        for form, page, dpi, text in json.loads(kept)
    ]
    return json.dumps(now, ensure_ascii=False) if now else kept


def _nobodys(sheet: Sheet, to_lines: tuple[str, ...]) -> Sheet:
    if isinstance(sheet, CustomsSheet):
        words = {"importer_contact": "", "importer_reference": "", "sender_reference": "", "comments": ()}
        return replace(sheet, to_lines=to_lines, **words)  # type: ignore[arg-type]
    if isinstance(sheet, InvoiceSheet):
        return replace(sheet, to_lines=to_lines, to_contact="", terms=_no_place(sheet.terms))
    return sheet


def _no_place(terms: str) -> str:
    """Terms of delivery without the town that they name.

    >>> _no_place("DAP Sampleham, United Kingdom (Incoterms 2020)")
    'DAP (forgotten), United Kingdom (Incoterms 2020)'
    """
    code, _, place = terms.partition(" ")
    return f"{code} {FORGOTTEN}, {place.rpartition(', ')[2]}" if place else terms
