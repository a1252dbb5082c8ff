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
JM…, JB…, S…, Z…, D…, R… and a day      make, buy, short list, count sheet, day report, reconciliation
RL… and a day                           replenishment list
======================================  ===========================================================

Small letters, spaces and underlines are taken for capitals and hyphens where that makes a number or name.
"""

import re
from collections.abc import Sequence
from datetime import datetime

from fulfil.bench import cards, recount_slips
from fulfil.counting import papers as counting_papers
from fulfil.despatch import close, day_papers, manifest_paper, order_papers, package_papers
from fulfil.despatch.abroad import customs_sheets
from fulfil.despatch.desk import accounts
from fulfil.despatch.figures import day_figures_paper
from fulfil.errors import UnknownRefused
from fulfil.papers.door import pdf
from fulfil.papers.numbering import OfTheDay
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.records.plan import WalkRecord
from fulfil.shop.asking import ByName, Finder
from fulfil.shop.clock import local
from fulfil.stock import bin_labels, replenishment_paper
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks import drawings
from fulfil.walks import papers as walk_papers
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import WalkSheets, walk_sheets

_BY_NUMBER: tuple[Finder, ...] = (
    *walk_papers.BY_NUMBER,
    *recount_slips.BY_NUMBER,
    *bin_labels.BY_NUMBER,
    *package_papers.ORDERS_BY_NUMBER,
    *order_papers.BY_NUMBER,
    *package_papers.PACKAGES_BY_NUMBER,
    *customs_sheets.BY_NUMBER,
    *manifest_paper.BY_NUMBER,
    *counting_papers.BY_NUMBER,
)
_MAKERS = (accounts, cards, close, drawings, day_papers, day_figures_paper, order_papers, counting_papers, bin_labels,
            replenishment_paper)  # fmt: skip
_BY_NAME: dict[str, ByName] = {paper_of(one.sheet).file: one for maker in _MAKERS for one in maker.BY_NAME}
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
