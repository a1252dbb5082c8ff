"""Print the papers of a step: sheets in, PDF files out, each whole or not at all.

Releasing a walk prints its papers first and books the release after, so that no walk is released without paper.
"""

import re
from collections.abc import Callable, Sequence
from datetime import date, datetime
from pathlib import Path

from fulfil.day.drift import DayDrift
from fulfil.day.lookalikes import look_alike_index
from fulfil.day.report import DayReport
from fulfil.day.sheets_day import day_report_sheet, short_list_sheet
from fulfil.day.sheets_manifest import printed_manifest
from fulfil.day.sheets_package import logistic_label_sheets, package_label_sheets, packing_list_sheet
from fulfil.day.sheets_walk import walk_sheets
from fulfil.day.sheets_weighing import counting_table_sheets, drift_chart_sheets, unit_weight_card_sheet
from fulfil.errors import StateRefused
from fulfil.files.written import write_whole
from fulfil.papers.bench import counting_table, drift_chart, unit_weight_card
from fulfil.papers.day import day_report
from fulfil.papers.despatch import logistic_label, manifest, package_label, packing_list
from fulfil.papers.elements.line_chart import line_chart
from fulfil.papers.picture import png
from fulfil.papers.stock import short_list
from fulfil.papers.walk import bag_label, cart_card, checklist
from fulfil.papers.walk.layouts import BY_WALK, Layout, layout_named
from fulfil.records.dispatch import Manifest
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, WalkRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.lookalike import LookAlikeIndex

PICTURE_MM = 186.0
"""Width of a picture: as wide as the text of an A4 page."""


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
        walks = walks or [walk for walk in books.find(WalkRecord) if walk.released_at is None]
        if not walks:
            raise StateRefused("release walks of", "the plan", "a planned walk; plan first")
        found = index(books)
        for walk in walks:
            written += _print_walk(books, walk, out, pick_lists, lambda _: found)
        for walk in walks:
            if walk.released_at is None:
                _release(books, walk, at, person)
    return written


def print_order(shop: Shop, number: str, out: Path, *, day: date) -> list[Path]:
    """Prints packing list and package labels of an order; packages with an SSCC or S10 number get logistic labels."""
    with shop.reading() as books:
        order = books.need(Order, number)
        page, dpi = books.settings().paper, books.settings().printer_dpi
        lists = packing_list.pdf([packing_list_sheet(books, order, day=day)], page=page, printer_dpi=dpi)
        logistic = logistic_label_sheets(books, order)
        has_number = {sheet.label.package_number for sheet in logistic}
        plain = [sheet for sheet in package_label_sheets(books, order) if sheet.package_number not in has_number]
        papers = {"packing-list": lists}
        if plain:
            papers["package-labels"] = package_label.pdf(plain, printer_dpi=dpi)
        if logistic:
            papers["logistic-labels"] = logistic_label.pdf(logistic, printer_dpi=dpi)
    return [_write(out / f"{number}-{name}.pdf", paper) for name, paper in papers.items()]


def print_manifest(shop: Shop, number: str, out: Path) -> list[Path]:
    """Prints a manifest; a closed one again, the same byte for byte, whatever has changed in the shop since."""
    with shop.reading() as books:
        printed = printed_manifest(books, books.need(Manifest, number))
    paper = manifest.pdf([printed.sheet], page=printed.paper, printer_dpi=printed.printer_dpi)
    return [_write(out / f"{number}-manifest.pdf", paper)]


def print_shorts(shop: Shop, out: Path, *, day: date) -> list[Path]:
    """Prints the short list of a day."""
    with shop.reading() as books:
        page, dpi = books.settings().paper, books.settings().printer_dpi
        paper = short_list.pdf([short_list_sheet(books, day=day)], page=page, printer_dpi=dpi)
    return [_write(out / f"{day}-short-list.pdf", paper)]


def print_report(shop: Shop, report: DayReport, out: Path) -> list[Path]:
    """Prints a day's report."""
    with shop.reading() as books:
        page, dpi = books.settings().paper, books.settings().printer_dpi
        paper = day_report.pdf([day_report_sheet(books, report)], page=page, printer_dpi=dpi)
    return [_write(out / f"{report.day}-day-report.pdf", paper)]


def print_unit_weight_card(
    shop: Shop, part_number: str, out: Path, *, day: date, with_picture: bool = False
) -> list[Path]:
    """Prints a part's unit-weight card; ``with_picture`` its chart as PNG too, where it has one."""
    with shop.reading() as books:
        page, dpi = books.settings().paper, books.settings().printer_dpi
        sheet = unit_weight_card_sheet(books, part_number, day=day)
    paper = unit_weight_card.pdf([sheet], page=page, printer_dpi=dpi)
    written = [_write(out / f"{part_number}-unit-weight-card.pdf", paper)]
    if with_picture and sheet.chart is not None:
        drawn = line_chart(sheet.chart, PICTURE_MM, 0.5 * PICTURE_MM)
        written.append(_write(out / f"{part_number}-largest-count.png", png(drawn, PICTURE_MM)))
    return written


def print_drift_pictures(drift: DayDrift, out: Path, *, day: date) -> list[Path]:
    """Writes the day's drift charts as PNG, one file for each scale and each part that is out."""
    written = []
    for sheet in drift_chart_sheets(drift):
        name = re.sub(r"[^A-Za-z0-9+-]+", "-", sheet.heading).strip("-")
        picture = png(drift_chart.drift_chart(sheet, PICTURE_MM), PICTURE_MM)
        written.append(_write(out / f"{day}-drift-{name}.png", picture))
    return written


def print_counting_tables(shop: Shop, out: Path, *, day: date) -> list[Path]:
    """Prints what each scale for bags that may be used can count."""
    with shop.reading() as books:
        page, dpi = books.settings().paper, books.settings().printer_dpi
        sheets = counting_table_sheets(books, day=day)
    if not sheets:
        raise StateRefused("print the counting tables of", "the shop", "a scale for bags that may be used")
    return [_write(out / "scales-counting-table.pdf", counting_table.pdf(sheets, page=page, printer_dpi=dpi))]


def write_frames(report: DayReport, out: Path) -> list[Path]:
    """Writes the report's tables as CSV, one file each, to be read by programs."""
    return [
        _write(out / f"{report.day}-{name}.csv", frame.to_csv(index=False, lineterminator="\r\n").encode())
        for name, frame in sorted(report.frames.items())
    ]


def _write(path: Path, content: bytes) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, content)
    return path


def _print_walk(
    books: Books, walk: WalkRecord, out: Path, pick_lists: Layout, index: Callable[[Books], LookAlikeIndex]
) -> list[Path]:
    sheets = walk_sheets(books, walk, index=index)
    page, dpi = books.settings().paper, books.settings().printer_dpi
    papers = {
        "pick-list": pick_lists([sheets.pick_list], page=page, printer_dpi=dpi),
        "bag-labels": bag_label.pdf(sheets.bag_labels, printer_dpi=dpi),
        "checklist": checklist.pdf([sheets.checklist], page=page, printer_dpi=dpi),
        "cart-card": cart_card.pdf([sheets.cart_card], page=page, printer_dpi=dpi),
    }
    return [_write(out / f"{walk.number}-{name}.pdf", paper) for name, paper in papers.items()]


def _release(books: Books, walk: WalkRecord, at: datetime, person: str) -> None:
    books.replace([walk.model_copy(update={"released_at": at})])
    numbers = sorted({bag.order_number for bag in books.find(Bag, walk_number=walk.number)})
    orders = books.find(Order, number=numbers, state=OrderState.ALLOCATED)
    books.replace([order.model_copy(update={"state": OrderState.RELEASED}) for order in orders])
    books.journal(at=at, person=person, event="walk released", subject=walk.number, particulars={"orders": numbers})
