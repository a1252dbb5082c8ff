"""Any document of the shop by its number: the sheets it is made of, its file, its pictures.

A walk's number is its pick list, with C or K for W its checklist or cart card; an order's number is its packing list,
as is the list's own number; a bag's or package's code is its label; a manifest's number is the manifest.
"""

from collections.abc import Sequence
from datetime import date
from typing import Any

from fulfil.day.lookalikes import look_alike_index
from fulfil.day.sheets_manifest import printed_manifest
from fulfil.day.sheets_package import package_label_sheets, packing_list_sheet
from fulfil.day.sheets_walk import WalkSheets, walk_sheets
from fulfil.errors import UnknownRefused
from fulfil.papers import bag_label, cart_card, checklist, manifest, package_label, packing_list, pick_list
from fulfil.records.dispatch import Manifest, Package
from fulfil.records.order import Order
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.sheets import (
    BagLabelSheet,
    CartCardSheet,
    ChecklistSheet,
    ManifestSheet,
    PackageLabelSheet,
    PackingListSheet,
    PickListSheet,
)
from fulfil.store.books import Books

DocumentKind = (
    PickListSheet
    | ChecklistSheet
    | CartCardSheet
    | BagLabelSheet
    | PackingListSheet
    | PackageLabelSheet
    | ManifestSheet
)

_ON_PAGES: dict[type, Any] = {
    PickListSheet: pick_list,
    ChecklistSheet: checklist,
    CartCardSheet: cart_card,
    PackingListSheet: packing_list,
    ManifestSheet: manifest,
}


def sheets_of(books: Books, number: str, *, day: date) -> list[DocumentKind]:
    """The sheets that the number names, most often one; ``day`` stands on a packing list.

    Raises:
        UnknownRefused: the shop knows no such number.
    """
    rest = number[1:]
    if number[:1] in ("W", "C", "K") and books.get(WalkRecord, f"W{rest}") is not None:
        made = sheets_of_walk(books, f"W{rest}")
        papers: dict[str, DocumentKind] = {"W": made.pick_list, "C": made.checklist, "K": made.cart_card}
        return [papers[number[0]]]
    order = books.get(Order, number)
    package = books.get(Package, number) or books.get(Package, f"P{rest}" if number.startswith("L") else number)
    bag = books.get(Bag, number)
    if bag is not None:
        labels = sheets_of_walk(books, bag.walk_number).bag_labels
        return [label for label in labels if label.bag_code == number]
    if package is not None and package.number == number:
        labelled = package_label_sheets(books, books.need(Order, package.order_number))
        return [label for label in labelled if label.package_number == number]
    if order is None and package is not None:
        order = books.need(Order, package.order_number)
    if order is not None:
        return [packing_list_sheet(books, order, day=day)]
    listed = books.get(Manifest, number)
    if listed is not None:
        return [printed_manifest(books, listed).sheet]
    raise UnknownRefused("find the document", number, "the number of a walk, order, bag, package or manifest")


def sheets_of_walk(books: Books, number: str) -> WalkSheets:
    """All sheets of a walk."""
    return walk_sheets(books, books.need(WalkRecord, number), index=look_alike_index)


def document_file(books: Books, sheets: Sequence[DocumentKind]) -> bytes:
    """The PDF file of sheets of one kind, as the shop's settings want it."""
    settings = books.settings()
    first = sheets[0]
    if isinstance(first, BagLabelSheet):
        return bag_label.pdf(
            [one for one in sheets if isinstance(one, BagLabelSheet)], printer_dpi=settings.printer_dpi
        )
    if isinstance(first, PackageLabelSheet):
        labels = [one for one in sheets if isinstance(one, PackageLabelSheet)]
        return package_label.pdf(labels, printer_dpi=settings.printer_dpi)
    paper = _ON_PAGES[type(first)]
    made: bytes = paper.pdf(sheets, page=settings.paper, printer_dpi=settings.printer_dpi)
    return made
