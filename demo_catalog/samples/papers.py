"""One of each paper with invented data, for choosing settings and for judging by eye.

>>> made = sample_papers(page=Paper.A4, printer_dpi=300)
>>> sorted(made)[:3]
['bag-labels-50x25', 'bag-labels-60x40', 'bag-labels-on-sheets']
>>> all(pdf.startswith(b"%PDF") for pdf in made.values())
True
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from fulfil.papers.bench import calibration
from fulfil.papers.door import leaves, pdf
from fulfil.papers.page import LabelSize
from fulfil.papers.render import Leaf
from fulfil.papers.sheet import Sheet
from fulfil.papers.walk.bag_label import BagLabelSheet
from fulfil.papers.walk.pick_list_by_order import by_order
from fulfil.papers.walk.pick_list_large import large
from fulfil.records.settings import Paper

from . import around, bench, day, despatch, walk

CALIBRATION = "calibration"
"""The page that has no sheet: it is drawn, not filled in."""


@dataclass(frozen=True)
class Sample:
    """The sheets of one file, and how they are printed where that isn't as usual."""

    sheets: Callable[[], Sequence[Sheet]]
    size: LabelSize | None = None
    on_sheets: bool = False

    def leaves(self, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
        """The pages as marks."""
        sheets = self.sheets()
        return leaves(sheets, page=page, printer_dpi=printer_dpi, size=self.size, on_sheets=self.on_sheets)

    def pdf(self, *, page: Paper, printer_dpi: int = 300) -> bytes:
        """The file."""
        sheets = self.sheets()
        return pdf(sheets, page=page, printer_dpi=printer_dpi, size=self.size, on_sheets=self.on_sheets)


def _bag_labels() -> list[BagLabelSheet]:
    labels = [walk.bag_label(i) for i in range(1, 7)]
    return [*labels, replace(labels[2], cautions=("LEADED BRASS",), note="bag 1 of 2")]


SAMPLES = {
    "bag-labels-50x25": Sample(lambda: _bag_labels()[:6], LabelSize.BAG_50_25),
    "bag-labels-60x40": Sample(_bag_labels, LabelSize.BAG_60_40),
    "bag-labels-on-sheets": Sample(_bag_labels, on_sheets=True),
    "bench-cards": Sample(bench.bench_cards),
    "bin-labels": Sample(bench.bin_labels),
    "bin-labels-on-sheets": Sample(bench.bin_labels, on_sheets=True),
    "buy-list": Sample(lambda: [around.buy_list()]),
    "cart-card": Sample(lambda: [walk.cart_card()]),
    "checklist": Sample(lambda: [walk.checklist()]),
    "counting-table": Sample(lambda: [bench.counting_table()]),
    "customs-cn22": Sample(lambda: [despatch.cn22()]),
    "customs-cn23": Sample(lambda: [despatch.cn23()]),
    "day-report": Sample(lambda: [day.day_report()]),
    "evidence": Sample(lambda: [around.evidence()]),
    "invoice": Sample(lambda: [despatch.invoice()]),
    "logistic-label": Sample(lambda: [despatch.logistic_label()]),
    "make-list": Sample(lambda: [around.make_list()]),
    "manifest": Sample(lambda: [despatch.manifest()]),
    "package-label": Sample(lambda: [despatch.package_label()]),
    "packing-list": Sample(lambda: [despatch.packing_list(also_in="pl")]),
    "partial-note": Sample(lambda: [around.partial_note()]),
    "pick-list": Sample(lambda: [walk.pick_list()]),
    "pick-list-by-order": Sample(lambda: by_order(walk.pick_list())),
    "pick-list-large": Sample(lambda: [large(walk.pick_list())]),
    "pull-slip": Sample(lambda: [around.pull_slip()]),
    "reconciliation": Sample(lambda: [day.reconciliation()]),
    "recount-slip": Sample(lambda: [bench.recount_slip()]),
    "room": Sample(lambda: [walk.room()]),
    "short-list": Sample(lambda: [day.short_list()]),
    "unit-weight-card": Sample(lambda: [bench.unit_weight_card()]),
}
"""The samples by the names of their files."""


def sample_papers(*, page: Paper, printer_dpi: int) -> dict[str, bytes]:
    """Every paper by the name of its file, made for this page and printer."""
    made = {name: sample.pdf(page=page, printer_dpi=printer_dpi) for name, sample in SAMPLES.items()}
    made[CALIBRATION] = calibration.pdf(page=page)
    return dict(sorted(made.items()))
