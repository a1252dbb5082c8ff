"""Any paper of the shop by the number that stands on it, or by its name: its sheets, its file.

What each number is made of is declared by the paper (:class:`~fulfil.papers.kind.PaperKind`, ``numbered``); which
record it is of, and who makes the sheets, stands beside their maker as ``BY_NUMBER`` or ``BY_NAME``. The order of the
makers below is the order in which they are asked: the first that knows the number has it.

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
from collections.abc import Sequence
from datetime import datetime

from fulfil.day import (
    bench_cards,
    bin_labels,
    close,
    drawings,
    recount_slips,
    sheets_customs,
    sheets_day,
    sheets_manifest,
    sheets_orders,
    sheets_package,
    sheets_walk,
    sheets_weighing,
)
from fulfil.day.asking import ByName, Finder
from fulfil.day.lookalikes import look_alike_index
from fulfil.day.sheets_walk import WalkSheets, walk_sheets
from fulfil.day.shop_clock import local
from fulfil.errors import UnknownRefused
from fulfil.papers.door import pdf
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.records.plan import WalkRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_BY_NUMBER: tuple[Finder, ...] = (
    *sheets_walk.BY_NUMBER,
    *recount_slips.BY_NUMBER,
    *bin_labels.BY_NUMBER,
    *sheets_package.ORDERS_BY_NUMBER,
    *sheets_orders.BY_NUMBER,
    *sheets_package.PACKAGES_BY_NUMBER,
    *sheets_customs.BY_NUMBER,
    *sheets_manifest.BY_NUMBER,
    *sheets_weighing.BY_NUMBER,
)
_BY_NAME: dict[str, ByName] = {
    paper_of(one.sheet).file: one
    for one in (
        *bench_cards.BY_NAME,
        *close.BY_NAME,
        *drawings.BY_NAME,
        *sheets_day.BY_NAME,
        *sheets_orders.BY_NAME,
        *sheets_weighing.BY_NAME,
    )
}
NAMES = tuple(sorted(_BY_NAME))
"""Papers that are asked for by name."""


def sheets_of(shop: Shop, number: str, *, at: datetime) -> list[Sheet]:
    """The sheets that a number or name means, most often one; ``at`` says which of the shop's days.

    Raises:
        UnknownRefused: the shop knows no such number, and it is no name.
        StateRefused: there is no such paper, as when nothing of an order follows.
    """
    with shop.reading() as books:
        at = local(at, books.settings())
    name, then = _named(number, at)
    if name in _BY_NAME:
        return [*_BY_NAME[name].make(shop, then)]
    with shop.reading() as books:
        for code in dict.fromkeys((number, number.upper())):
            for one in _BY_NUMBER:
                found = one.find(books, code, at)
                if found:
                    return [*found]
    expected = f"a number that stands on a paper (of a walk, order, bag, package, part, bin …), or {', '.join(NAMES)}"
    raise UnknownRefused("find the document", number, expected)


def sheets_of_walk(books: Books, number: str) -> WalkSheets:
    """All sheets of a walk."""
    return walk_sheets(books, books.need(WalkRecord, number), index=look_alike_index)


def document_file(books: Books, sheets: Sequence[Sheet]) -> bytes:
    """The PDF file of sheets of one kind, as the shop's settings want it."""
    settings = books.settings()
    return pdf(sheets, page=settings.paper, printer_dpi=settings.printer_dpi)


def _named(number: str, at: datetime) -> tuple[str, datetime]:
    """A name as :data:`NAMES` has it, and of which day: of that which stands in the number of a day's paper.

    >>> _named("Make list", datetime(2026, 3, 2, 17))[0], _named("D26030201", datetime(2026, 3, 5, 17))
    ('make-list', ('day-report', datetime.datetime(2026, 3, 2, 17, 0)))
    """
    for name, one in _BY_NAME.items():
        numbered = paper_of(one.sheet).numbered
        day = numbered.day(number) if isinstance(numbered, OfTheDay) else None
        if day is not None:
            return name, at.replace(year=day.year, month=day.month, day=day.day)
    return re.sub(r"[ _]+", "-", number.strip().casefold()), at
