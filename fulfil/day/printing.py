"""The door to paper: sheets in, PDF files out, each whole or not at all, named by the papers themselves.

Releasing a walk prints its papers first and books the release after, so that no walk is released without paper.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import Protocol

from fulfil.day.lookalikes import look_alike_index
from fulfil.day.releasing import release_walk
from fulfil.day.report import DayReport
from fulfil.day.reprint import Reprint
from fulfil.day.sheets_walk import walk_sheets
from fulfil.errors import StateRefused
from fulfil.files.written import write_all
from fulfil.papers.door import files
from fulfil.papers.sheet import Sheet
from fulfil.papers.walk.layouts import BY_WALK, layout_named
from fulfil.records.plan import WalkRecord
from fulfil.records.settings import Paper
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.lookalike import LookAlikeIndex

Made = Sheet | Sequence[Sheet] | Reprint
"""What a maker makes of the books."""


class PrintsOn(Protocol):
    """What is printed on: a shop's settings, or a reprint's own page and printer."""

    @property
    def paper(self) -> Paper:
        """The page."""

    @property
    def printer_dpi(self) -> int:
        """The printer's resolution."""


def print_papers(
    shop: Shop,
    out: Path,
    make: Callable[[Books], Made],
    *,
    name: str = "",
    on_sheets: bool = False,
) -> list[Path]:
    """Prints what a maker makes of the shop's books: one file for each kind of sheet, none for none.

    Args:
        shop: whose paper it is, and whose settings say on what.
        out: the folder; it is made where it is missing.
        make: the maker, such as ``lambda books: short_list_sheet(books, day=day)``.
        name: of the file, where its paper's own isn't meant.
        on_sheets: labels many on a page, to be cut.

    Raises:
        PaperRefused: a text that can't be printed whole.
        FileRefused: a file can't be written.
    """
    with shop.reading() as books:
        made = make(books)
        settings = books.settings()
    if isinstance(made, Reprint):
        return print_sheets(made.sheets, out, printer=made, name=name, on_sheets=on_sheets)
    sheets = (made,) if isinstance(made, Sheet) else made
    return print_sheets(sheets, out, printer=settings, name=name, on_sheets=on_sheets)


def print_sheets(
    sheets: Iterable[Sheet], out: Path, *, printer: PrintsOn, name: str = "", on_sheets: bool = False
) -> list[Path]:
    """Prints sheets that are made already; as :func:`print_papers`."""
    made = files(sheets, page=printer.paper, printer_dpi=printer.printer_dpi, name=name, on_sheets=on_sheets)
    return write_all(out, made)


def release_walks(
    shop: Shop,
    numbers: Sequence[str],
    out: Path,
    *,
    at: datetime,
    person: str,
    layout: str = BY_WALK,
    index: Callable[[Books], LookAlikeIndex] = look_alike_index,
) -> list[Path]:
    """Prints pick list, bag labels, checklist and cart card of walks, then releases those that weren't yet.

    No numbers mean all walks that aren't released. A released walk is printed again, the same byte for byte.
    ``layout`` is the pick list's (:mod:`fulfil.papers.walk.layouts`).

    Raises:
        PaperRefused: when there is no such layout.
        UnknownRefused: when there is no such walk.
        StateRefused: when there is nothing to release.
        FileRefused: when a paper can't be written; the walks stay unreleased.
    """
    written: list[Path] = []
    pick_lists = layout_named(layout)
    with shop.writing() as books:
        walks = [books.need(WalkRecord, number) for number in numbers]
        walks = walks or books.find(WalkRecord, released_at=None)
        if not walks:
            raise StateRefused("release walks of", "the plan", "a planned walk; plan first")
        found = index(books)
        for walk in walks:
            made = walk_sheets(books, walk, index=lambda _: found)
            papers = [*pick_lists(made.pick_list), *made.bag_labels, made.checklist, made.cart_card]
            written += print_sheets(papers, out, printer=books.settings())
        for walk in walks:
            if walk.released_at is None:
                release_walk(books, walk, at=at, person=person)
    return written


def write_frames(report: DayReport, out: Path) -> list[Path]:
    """Writes the report's tables as CSV, one file each, to be read by programs."""
    return write_all(
        out,
        {
            f"{report.day}-{name}.csv": frame.to_csv(index=False, lineterminator="\r\n").encode()
            for name, frame in sorted(report.frames.items())
        },
    )
