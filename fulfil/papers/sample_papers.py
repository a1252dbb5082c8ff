"""One of each paper with invented data, for choosing settings and for judging by eye.

>>> made = sample_papers(page=Paper.A4, printer_dpi=300)
>>> sorted(made)[:3]
['bag-labels-50x25', 'bag-labels-60x40', 'bag-labels-on-sheets']
>>> all(pdf.startswith(b"%PDF") for pdf in made.values())
True
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from types import ModuleType
from typing import Any

from fulfil.papers import (
    bag_label,
    bench_card,
    bin_label,
    cart_card,
    checklist,
    counting_table,
    customs_declaration,
    customs_label,
    day_report,
    invoice,
    logistic_label,
    manifest,
    package_label,
    packing_list,
    pick_list,
    pick_list_by_order,
    pick_list_large,
    reconciliation,
    recount_slip,
    short_list,
    unit_weight_card,
)
from fulfil.papers.page import LabelSize
from fulfil.papers.samples import bench, day, despatch, walk
from fulfil.records.settings import Paper

DOCUMENTS: dict[str, tuple[ModuleType, Callable[[], Any]]] = {
    "cart-card": (cart_card, walk.cart_card),
    "checklist": (checklist, walk.checklist),
    "counting-table": (counting_table, bench.counting_table),
    "customs-cn23": (customs_declaration, lambda: despatch.customs(6, "CN 23")),
    "day-report": (day_report, day.day_report),
    "invoice": (invoice, despatch.invoice),
    "manifest": (manifest, despatch.manifest),
    "packing-list": (packing_list, lambda: despatch.packing_list(also_in="pl")),
    "pick-list": (pick_list, walk.pick_list),
    "pick-list-by-order": (pick_list_by_order, walk.pick_list),
    "pick-list-large": (pick_list_large, walk.pick_list),
    "reconciliation": (reconciliation, day.reconciliation),
    "short-list": (short_list, day.short_list),
    "unit-weight-card": (unit_weight_card, bench.unit_weight_card),
}
"""Papers on pages: file name, the paper's module, its sheet."""


def sample_papers(*, page: Paper, printer_dpi: int) -> dict[str, bytes]:
    """Every paper by the name of its file, made for this page and printer."""
    made = {
        name: paper.pdf([sheet()], page=page, printer_dpi=printer_dpi) for name, (paper, sheet) in DOCUMENTS.items()
    }
    labels: Sequence[Any] = [walk.bag_label(i) for i in range(1, 7)]
    for size in (LabelSize.BAG_60_40, LabelSize.BAG_50_25):
        made[f"bag-labels-{size}"] = bag_label.pdf(labels, size=size, printer_dpi=printer_dpi)
    cautioned = replace(labels[2], cautions=("LEADED BRASS",), note="bag 1 of 2")
    made["bag-labels-on-sheets"] = bag_label.pdf_on_sheets([*labels, cautioned], page=page, printer_dpi=printer_dpi)
    made["bin-labels"] = bin_label.pdf_on_sheets(bench.bin_labels(), page=page, printer_dpi=printer_dpi)
    made["bench-cards"] = bench_card.pdf(bench.bench_cards(), page=page, printer_dpi=printer_dpi)
    made["customs-cn22"] = customs_label.pdf([despatch.customs()], printer_dpi=printer_dpi)
    made["logistic-label"] = logistic_label.pdf([despatch.logistic_label()], printer_dpi=printer_dpi)
    made["package-label"] = package_label.pdf([despatch.package_label()], printer_dpi=printer_dpi)
    made["recount-slip"] = recount_slip.pdf([bench.recount_slip()], printer_dpi=printer_dpi)
    return made
