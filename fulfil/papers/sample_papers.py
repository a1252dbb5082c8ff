"""One of each paper with invented data, for choosing settings and for judging by eye.

>>> made = sample_papers(page=Paper.A4, printer_dpi=300)
>>> sorted(made)[:3]
['bag-labels-50x25', 'bag-labels-60x40', 'bag-labels-on-sheets']
>>> all(pdf.startswith(b"%PDF") for pdf in made.values())
True
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from types import ModuleType
from typing import Any

from fulfil.errors import PaperRefused
from fulfil.papers.bench import bench_card, calibration, counting_table, recount_slip, unit_weight_card
from fulfil.papers.day import day_report, reconciliation
from fulfil.papers.despatch import cn22 as customs_label
from fulfil.papers.despatch import cn23 as customs_declaration
from fulfil.papers.despatch import invoice, logistic_label, manifest, package_label, packing_list
from fulfil.papers.floor import room as room_plan
from fulfil.papers.orders import evidence, partial_note, pull_slip
from fulfil.papers.page import LabelSize
from fulfil.papers.render import Leaf
from fulfil.papers.samples import around, bench, day, despatch, walk
from fulfil.papers.stock import bin_label, buy_list, make_list, short_list
from fulfil.papers.walk import bag_label, cart_card, checklist, pick_list, pick_list_by_order, pick_list_large
from fulfil.records.settings import Paper

DOCUMENTS: dict[str, tuple[ModuleType, Callable[[], Any]]] = {
    "buy-list": (buy_list, around.buy_list),
    "cart-card": (cart_card, walk.cart_card),
    "checklist": (checklist, walk.checklist),
    "counting-table": (counting_table, bench.counting_table),
    "customs-cn23": (customs_declaration, lambda: despatch.customs(6, "CN 23")),
    "day-report": (day_report, day.day_report),
    "evidence": (evidence, around.evidence),
    "invoice": (invoice, despatch.invoice),
    "make-list": (make_list, around.make_list),
    "manifest": (manifest, despatch.manifest),
    "packing-list": (packing_list, lambda: despatch.packing_list(also_in="pl")),
    "partial-note": (partial_note, around.partial_note),
    "pick-list": (pick_list, walk.pick_list),
    "pick-list-by-order": (pick_list_by_order, walk.pick_list),
    "pick-list-large": (pick_list_large, walk.pick_list),
    "pull-slip": (pull_slip, around.pull_slip),
    "reconciliation": (reconciliation, day.reconciliation),
    "room": (room_plan, walk.room),
    "short-list": (short_list, day.short_list),
    "unit-weight-card": (unit_weight_card, bench.unit_weight_card),
}
"""Papers on pages: file name, the paper's module, its sheet."""


@dataclass(frozen=True)
class Labels:
    """Labels, slips or cards: their module, their sheets, and what else its ``pdf`` and ``leaves`` take."""

    paper: ModuleType
    sheets: Callable[[], Sequence[Any]]
    size: LabelSize | None = None
    is_on_pages: bool = False

    def options(self, page: Paper, printer_dpi: int) -> dict[str, Any]:
        """The keyword arguments."""
        chosen = {} if self.size is None else {"size": self.size}
        return {"printer_dpi": printer_dpi, **chosen, **({"page": page} if self.is_on_pages else {})}


def _bag_labels() -> list[Any]:
    labels = [walk.bag_label(i) for i in range(1, 7)]
    return [*labels, replace(labels[2], cautions=("LEADED BRASS",), note="bag 1 of 2")]


LABELS = {
    "bag-labels-50x25": Labels(bag_label, lambda: _bag_labels()[:6], LabelSize.BAG_50_25),
    "bag-labels-60x40": Labels(bag_label, _bag_labels, LabelSize.BAG_60_40),
    "bench-cards": Labels(bench_card, bench.bench_cards, is_on_pages=True),
    "bin-labels": Labels(bin_label, bench.bin_labels),
    "customs-cn22": Labels(customs_label, lambda: [despatch.customs()]),
    "logistic-label": Labels(logistic_label, lambda: [despatch.logistic_label()]),
    "package-label": Labels(package_label, lambda: [despatch.package_label()]),
    "recount-slip": Labels(recount_slip, lambda: [bench.recount_slip()]),
}
"""Papers that aren't documents, by file name."""
CALIBRATION = "calibration"


def sample_papers(*, page: Paper, printer_dpi: int) -> dict[str, bytes]:
    """Every paper by the name of its file, made for this page and printer."""
    made = {
        name: paper.pdf([sheet()], page=page, printer_dpi=printer_dpi) for name, (paper, sheet) in DOCUMENTS.items()
    }
    for name, labels in LABELS.items():
        made[name] = labels.paper.pdf(labels.sheets(), **labels.options(page, printer_dpi))
    made["bag-labels-on-sheets"] = bag_label.pdf_on_sheets(_bag_labels(), page=page, printer_dpi=printer_dpi)
    made["bin-labels-on-sheets"] = bin_label.pdf_on_sheets(bench.bin_labels(), page=page, printer_dpi=printer_dpi)
    made[CALIBRATION] = calibration.pdf(page=page)
    return dict(sorted(made.items()))


def paper_file(sheets: Sequence[Any], *, page: Paper, printer_dpi: int) -> bytes:
    """The PDF file of sheets of one kind, whichever kind that is; a pick list by walk, a CN 22 as its label."""
    kind = type(sheets[0])
    is_label = getattr(sheets[0], "form", "CN 22") == "CN 22"
    made: bytes
    for labels in LABELS.values():
        if is_label and isinstance(labels.sheets()[0], kind):
            taken = labels.options(page, printer_dpi)
            taken.pop("size", None)
            made = labels.paper.pdf(sheets, **taken)
            return made
    for paper, sheet in DOCUMENTS.values():
        if isinstance(sheet(), kind):
            made = paper.pdf(sheets, page=page, printer_dpi=printer_dpi)
            return made
    raise PaperRefused("print a sheet of the kind", kind.__name__, "one of the papers' sheets")


def sample_sheets(name: str) -> list[Any]:
    """The sheets of a sample; the calibration page has none: it says nothing but itself."""
    if name in DOCUMENTS:
        return [DOCUMENTS[name][1]()]
    return list(LABELS[name].sheets()) if name in LABELS else []


def sample_leaves(name: str, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The pages of a sample as marks."""
    made: list[Leaf]
    if name in DOCUMENTS:
        paper, sheet = DOCUMENTS[name]
        made = paper.leaves(sheet(), page=page, printer_dpi=printer_dpi)
    elif name in LABELS:
        labels = LABELS[name]
        made = labels.paper.leaves(labels.sheets(), **labels.options(page, printer_dpi))
    else:
        made = calibration.leaves(page=page)
    return made
