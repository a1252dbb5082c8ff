"""Any paper of the shop by the number that stands on it, or by its name: its sheets, its file.

======================================  ===========================================================
what is asked for                       what is given
======================================  ===========================================================
W…, C…, K… (a walk's papers)            pick list, checklist, cart card
a bag's, bin's or recount slip's code   its label or slip
an order's number, L…                   packing list
N…, X…, V… before an order's number     partial-shipment note, pull slip, evidence
a package's number, an SSCC             package label, logistic label
G…, I… (of a package that needs them)   customs declaration, invoice
a manifest's number                     manifest
a part's number                         unit-weight card
SCALE-… before a scale's code           what this scale can count
one of :data:`NAMES`                    the day's list, report or drawing
JM…, JB…, S…, D…, R… and a day          make, buy and short list, day report, reconciliation of that day
======================================  ===========================================================

Small letters, spaces and underlines are taken for capitals and hyphens where that makes a number or name.
"""

import re
from collections.abc import Callable, Sequence
from datetime import datetime

from fulfil.day.bench_cards import card_sheets
from fulfil.day.bin_labels import bin_label_sheet
from fulfil.day.claims import evidence_of
from fulfil.day.close import reconciliation_sheet
from fulfil.day.drawings import empty_room_sheet
from fulfil.day.lookalikes import look_alike_index
from fulfil.day.reconcile import reconcile_day
from fulfil.day.recount_slips import recount_sheet
from fulfil.day.report import report_day
from fulfil.day.sheets_customs import customs_sheets, invoice_sheet, order_customs
from fulfil.day.sheets_day import day_report_sheet, short_list_sheet
from fulfil.day.sheets_manifest import printed_manifest
from fulfil.day.sheets_orders import (
    buy_list_sheet,
    evidence_sheet,
    make_list_sheet,
    partial_note_sheet,
    pull_slip_sheet,
)
from fulfil.day.sheets_package import logistic_label_sheets, package_label_sheets, packing_list_sheet
from fulfil.day.sheets_walk import WalkSheets, walk_sheets
from fulfil.day.sheets_weighing import counting_table_sheets, unit_weight_card_sheet
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.papers import sample_papers
from fulfil.papers.twin import Sheet
from fulfil.records.bench import Recount
from fulfil.records.dispatch import Manifest, Package
from fulfil.records.identifier import Identifier
from fulfil.records.order import Order
from fulfil.records.part import Part
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books
from fulfil.store.shop import Shop

Sheets = Sequence[Sheet]


def sheets_of(shop: Shop, number: str, *, at: datetime) -> list[Sheet]:
    """The sheets that a number or name means, most often one; ``at`` says which day's.

    Raises:
        UnknownRefused: the shop knows no such number, and it is no name.
        StateRefused: there is no such paper, as when nothing of an order follows.
    """
    name, then = _named(number, at)
    if name in _OF_THE_DAY:
        return [*_OF_THE_DAY[name](shop, then)]
    with shop.reading() as books:
        for code in dict.fromkeys((number, number.upper())):
            for find in (_of_walk, _of_label, _of_order, _of_package, _of_others):
                found = find(books, code, at)
                if found:
                    return [*found]
    expected = f"a number that stands on a paper (of a walk, order, bag, package, part, bin …), or {', '.join(NAMES)}"
    raise UnknownRefused("find the document", number, expected)


def sheets_of_walk(books: Books, number: str) -> WalkSheets:
    """All sheets of a walk."""
    return walk_sheets(books, books.need(WalkRecord, number), index=look_alike_index)


def document_file(books: Books, sheets: Sheets) -> bytes:
    """The PDF file of sheets of one kind, as the shop's settings want it."""
    settings = books.settings()
    return sample_papers.paper_file(sheets, page=settings.paper, printer_dpi=settings.printer_dpi)


def _named(number: str, at: datetime) -> tuple[str, datetime]:
    """A name as :data:`NAMES` has it, and of which day: of that which stands in the number of a day's paper.

    >>> _named("Make list", datetime(2026, 3, 2, 17))[0], _named("D26030201", datetime(2026, 3, 5, 17))
    ('make-list', ('day-report', datetime.datetime(2026, 3, 2, 17, 0)))
    """
    dated = re.fullmatch(r"(JM|JB)([0-9]{6})|([SDR])([0-9]{6})01", number)
    if dated is None:
        return re.sub(r"[ _]+", "-", number.strip().casefold()), at
    kind, day = dated[1] or dated[3], dated[2] or dated[4]
    try:
        then = at.replace(year=2000 + int(day[:2]), month=int(day[2:4]), day=int(day[4:]))
    except ValueError:
        return number, at
    return _LETTERS[kind], then


_LETTERS = {"JM": "make-list", "JB": "buy-list", "S": "short-list", "D": "day-report", "R": "reconciliation"}


def _of_walk(books: Books, number: str, at: datetime) -> Sheets:
    rest = number[1:]
    if number[:1] not in ("W", "C", "K") or books.get(WalkRecord, f"W{rest}") is None:
        return ()
    made = sheets_of_walk(books, f"W{rest}")
    papers: dict[str, Sheet] = {"W": made.pick_list, "C": made.checklist, "K": made.cart_card}
    return (papers[number[0]],)


def _of_label(books: Books, number: str, at: datetime) -> Sheets:
    bag, slip = books.get(Bag, number), books.get(Recount, number)
    if bag is not None:
        labels = sheets_of_walk(books, bag.walk_number).bag_labels
        return tuple(label for label in labels if label.bag_code == number)
    if slip is not None:
        return (recount_sheet(books, slip),)
    place = books.get(Bin, number)
    return () if place is None else (bin_label_sheet(place, books.need(Part, place.part_number)),)


def _of_order(books: Books, number: str, at: datetime) -> Sheets:
    """An order's own papers, by its number or by theirs, which is its number behind a letter."""
    day = at.date()
    order = books.get(Order, number)
    if order is not None:
        return (packing_list_sheet(books, order, day=day),)
    order = books.get(Order, number[1:])
    kind = number[:1]
    if order is None or kind not in ("L", "N", "V", "X"):
        return ()
    if kind == "L":
        return (packing_list_sheet(books, order, day=day),)
    if kind == "N":
        return (partial_note_sheet(books, order, day=day, at=at),)
    if kind == "V":
        return (evidence_sheet(books, evidence_of(books, order.number), day=day),)
    pulled = books.find(PulledBag, order_number=order.number)
    if not pulled:
        raise StateRefused("show the pull slip of order", order.number, "an order of which bags were pulled")
    reasons = "; ".join(dict.fromkeys(bag.reason for bag in pulled))
    return (pull_slip_sheet(books, order, reasons, (), pulled, number=number, day=day),)


def _of_package(books: Books, number: str, at: datetime) -> Sheets:
    """A package's labels, and the papers whose numbers follow its own."""
    day = at.date()
    given = next(iter(books.find(Identifier, number=number)), None)
    package = books.get(Package, number)
    follows = books.get(Package, f"P{number[1:]}")
    if given is not None:
        order = books.need(Order, books.need(Package, given.package_number).order_number)
        return [one for one in logistic_label_sheets(books, order) if number in (one.sscc, one.item_number)]
    if package is not None:
        labels = package_label_sheets(books, books.need(Order, package.order_number))
        return [label for label in labels if label.package_number == number]
    if follows is None or number[:1] not in ("L", "G", "I"):
        return ()
    order = books.need(Order, follows.order_number)
    if number[0] == "L":
        return (packing_list_sheet(books, order, day=day),)
    declared = order_customs(books, order, day=day)
    if number[0] == "G":
        found: Sheets = [one for one in customs_sheets(books, declared, day=day) if one.document_number == number]
    else:
        bill = invoice_sheet(books, order, declared, day=day)
        found = () if bill is None else (bill,)
    if not found:
        raise StateRefused("show the customs paper", number, f"a package that needs one; {follows.number} goes without")
    return found


def _of_others(books: Books, number: str, at: datetime) -> Sheets:
    listed = books.get(Manifest, number)
    if listed is not None:
        return (printed_manifest(books, listed).sheet,)
    if books.get(Part, number) is not None:
        return (unit_weight_card_sheet(books, number, day=at.date()),)
    return [one for one in counting_table_sheets(books, day=at.date()) if one.document_number == number]


def _read(make: Callable[[Books, datetime], Sheets]) -> Callable[[Shop, datetime], Sheets]:
    def made(shop: Shop, at: datetime) -> Sheets:
        with shop.reading() as books:
            return make(books, at)

    return made


def _report(shop: Shop, at: datetime) -> Sheets:
    report = report_day(shop, day=at.date())
    with shop.reading() as books:
        return (day_report_sheet(books, report),)


def _reconciliation(shop: Shop, at: datetime) -> Sheets:
    now = reconcile_day(shop, day=at.date())
    with shop.reading() as books:
        return (reconciliation_sheet(books, now),)


def _counting_tables(books: Books, at: datetime) -> Sheets:
    found = counting_table_sheets(books, day=at.date())
    if not found:
        raise StateRefused("show the counting tables of", "the shop", "a scale for bags that may be used")
    return found


_OF_THE_DAY: dict[str, Callable[[Shop, datetime], Sheets]] = {
    "bench-cards": _read(lambda books, at: card_sheets(books.settings().cart_positions)),
    "buy-list": _read(lambda books, at: (buy_list_sheet(books, day=at.date(), at=at),)),
    "counting-table": _read(_counting_tables),
    "day-report": _report,
    "make-list": _read(lambda books, at: (make_list_sheet(books, day=at.date(), at=at),)),
    "reconciliation": _reconciliation,
    "room": _read(lambda books, at: (empty_room_sheet(books, day=at.date()),)),
    "short-list": _read(lambda books, at: (short_list_sheet(books, day=at.date()),)),
}
NAMES = tuple(_OF_THE_DAY)
"""Papers that are asked for by name."""
