"""Golden records: where every text and box of each sample stands, to a tenth of a millimetre.

A changed record is a changed paper: look at the paper, then write the records anew and review them like code:
``FULFIL_WRITE_GOLDEN=1 pytest tests/papers/test_golden.py``.
"""

import os
from pathlib import Path

import pytest

from fulfil.papers.ink import Bars, Box, Disc, Shape, Text
from fulfil.papers.sample_papers import CALIBRATION, DOCUMENTS, LABELS, sample_leaves
from fulfil.papers.samples import walk
from fulfil.papers.walk import pick_list, pick_list_by_order, pick_list_large
from fulfil.records.settings import Paper

GOLDEN = Path(__file__).with_name("golden")
NAMES = sorted({*DOCUMENTS, *LABELS, CALIBRATION})
SHORT = {"pick-list": pick_list, "pick-list-large": pick_list_large, "pick-list-by-order": pick_list_by_order}
"""Long papers are recorded by a walk of five stops."""


def _leaves(name):
    if name in SHORT:
        return SHORT[name].leaves(walk.pick_list(5), page=Paper.A4)
    return sample_leaves(name, page=Paper.A4)


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


@pytest.mark.parametrize("name", NAMES)
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
    assert {path.stem for path in GOLDEN.glob("*.txt")} == set(NAMES)
