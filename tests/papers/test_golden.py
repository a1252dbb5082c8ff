"""Golden records: where every text and box of each sample stands, to a tenth of a millimetre.

A changed record is a changed paper: look at the paper, then write the records anew and review them like code:
``FULFIL_WRITE_GOLDEN=1 pytest tests/papers/test_golden.py``.
"""

import os
from pathlib import Path

import pytest

from fulfil.papers import (
    bag_label,
    bench_card,
    bin_label,
    customs_label,
    logistic_label,
    package_label,
    pick_list,
    recount_slip,
)
from fulfil.papers.ink import Bars, Box, Disc, Shape, Text
from fulfil.papers.label_sheet import label_sheets
from fulfil.papers.page import LabelSize
from fulfil.papers.pick_list_by_order import by_order
from fulfil.papers.sample_papers import DOCUMENTS
from fulfil.papers.samples import bench, despatch, walk
from fulfil.records.settings import Paper

GOLDEN = Path(__file__).with_name("golden")
LABELS = {
    "bag-labels-60x40": lambda: bag_label.leaves([walk.bag_label(1), walk.bag_label(2)], size=LabelSize.BAG_60_40),
    "bag-labels-50x25": lambda: bag_label.leaves([walk.bag_label(1), walk.bag_label(2)], size=LabelSize.BAG_50_25),
    "bin-labels": lambda: bin_label.leaves(bench.bin_labels()[:4]),
    "bench-cards": lambda: label_sheets(
        [bench_card.bench_card(card, printer_dpi=300) for card in bench.bench_cards()],
        size=bench_card.SIZE,
        page=Paper.A4,
    ),
    "customs-cn22": lambda: customs_label.leaves([despatch.customs()]),
    "logistic-label": lambda: logistic_label.leaves([despatch.logistic_label()]),
    "package-label": lambda: package_label.leaves([despatch.package_label()]),
    "recount-slip": lambda: recount_slip.leaves([bench.recount_slip()]),
}
SHORT = {"pick-list", "pick-list-large", "pick-list-by-order"}
"""Long papers are recorded by a walk of five stops."""


def _leaves(name):
    if name in LABELS:
        return LABELS[name]()
    paper, sheet = DOCUMENTS[name]
    if name == "pick-list-by-order":
        return pick_list.leaves(by_order(walk.pick_list(5))[0], page=Paper.A4)
    return paper.leaves(walk.pick_list(5) if name in SHORT else sheet(), page=Paper.A4, printer_dpi=300)


def _record(leaves):
    """A line a mark: kind, left, top, right, bottom in mm, and what it says; lines and hatching are left out."""
    lines = []
    for number, leaf in enumerate(leaves, start=1):
        lines.append(f"page {number}: {leaf.size.width_mm:g} x {leaf.size.height_mm:g} mm")
        for mark, extent in leaf.marks():
            if not isinstance(mark, Text | Box | Disc | Shape | Bars):
                continue
            says = f" {mark.size_pt:g} pt {mark.face.name} {mark.text}" if isinstance(mark, Text) else ""
            says = f" {mark.module_mm:.3f} {mark.text}" if isinstance(mark, Bars) else says
            where = " ".join(f"{edge + 0.0:.1f}" for edge in extent)
            lines.append(f"{type(mark).__name__.lower()} {where}{says}")
    return "\n".join([*lines, ""])


@pytest.mark.parametrize("name", sorted({*DOCUMENTS, *LABELS}))
def test_the_paper_is_as_recorded(name):
    """Every text, box, disc and bar code stands where its record says, and no other does."""
    path = GOLDEN / f"{name}.txt"
    record = _record(_leaves(name))
    if os.environ.get("FULFIL_WRITE_GOLDEN"):
        path.parent.mkdir(exist_ok=True)
        path.write_text(record, encoding="utf-8")

    assert path.read_text(encoding="utf-8") == record


def test_no_record_is_left_over():
    """Each record belongs to a paper."""
    assert {path.stem for path in GOLDEN.glob("*.txt")} == {*DOCUMENTS, *LABELS}
