"""Golden records: where every text and box of each paper's samples stands, to a tenth of a millimetre.

One file a paper, a line a mark, in the order in which it is drawn and read aloud. A changed record is a changed paper:
look at the paper, then write the records anew and review them like code:
``FULFIL_WRITE_GOLDEN=1 pytest tests/papers/test_golden.py``.
"""

import os
from importlib import import_module
from pathlib import Path
from pkgutil import iter_modules

import pytest
from fulfil_demo_catalog.samples import walk
from fulfil_demo_catalog.samples.papers import CALIBRATION, SAMPLES

from fulfil.papers.bench import calibration
from fulfil.papers.door import leaves
from fulfil.papers.ink import Bars, Box, Disc, Shape, Text
from fulfil.papers.registry import GROUPS
from fulfil.papers.walk.layouts import layout_named
from fulfil.records.settings import Paper

GOLDEN = Path(__file__).with_name("golden")
SHORT = ("pick-list", "pick-list-large", "pick-list-by-order", "pick-list-half")
"""Long papers are recorded by a walk of five stops."""


def _places():
    """Every paper's group and module, with the samples that show it."""
    found = {f"bench/{CALIBRATION}": [CALIBRATION]}
    for group in GROUPS:
        folder = import_module(f"fulfil.papers.{group}")
        for module in iter_modules(folder.__path__):
            paper = getattr(import_module(f"{folder.__name__}.{module.name}"), "PAPER", None)
            if paper is not None:
                alone = {name: sample for name, sample in SAMPLES.items() if not sample.on_sheets}
                shown = [name for name, sample in alone.items() if type(sample.sheets()[0]) is paper.sheet]
                found[f"{group}/{module.name}"] = shown
    return found


PLACES = _places()


def _leaves(name):
    if name == CALIBRATION:
        return calibration.leaves(page=Paper.A4)
    if name in SHORT:
        layout = layout_named(name.removeprefix("pick-list").strip("-") or "by-walk")
        return leaves(layout(walk.pick_list(5)), page=Paper.A4)
    return SAMPLES[name].leaves(page=Paper.A4)


def _record(name):
    """Left, top, right and bottom edge in mm, what it is, what it says; lines and hatching are left out."""
    lines = [f"== {name} =="]
    for number, leaf in enumerate(_leaves(name), start=1):
        lines += ["", f"page {number}: {leaf.size.width_mm:g} x {leaf.size.height_mm:g} mm"]
        for mark, extent in leaf.marks():
            if not isinstance(mark, Text | Box | Disc | Shape | Bars):
                continue
            where = "".join(f"{edge + 0.0:7.1f}" for edge in extent)
            kind, says = type(mark).__name__.lower(), ""
            if isinstance(mark, Text):
                kind, says = f"{mark.size_pt:g} pt {mark.face.name.lower()}", mark.text
            elif isinstance(mark, Bars):
                kind, says = f"bars {mark.module_mm:.3f}", mark.text
            lines.append(f"{where}  {kind:12} {says}".rstrip())
    return "\n".join([*lines, ""])


@pytest.mark.parametrize("place", PLACES)
def test_the_paper_is_as_recorded(place):
    """Every text, box, disc and bar code stands where its record says, and no other does."""
    path = GOLDEN / f"{place}.txt"
    record = "\n".join(_record(name) for name in PLACES[place])
    if os.environ.get("FULFIL_WRITE_GOLDEN"):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(record, encoding="utf-8")

    assert path.read_text(encoding="utf-8") == record


def test_no_record_is_left_over():
    """Each record belongs to a paper, and each sample that is printed one by one to a record."""
    records = {path.relative_to(GOLDEN).with_suffix("").as_posix() for path in GOLDEN.rglob("*.txt")}
    shown = sorted(name for names in PLACES.values() for name in names)

    assert records == set(PLACES)
    assert shown == sorted([CALIBRATION, *(name for name, sample in SAMPLES.items() if not sample.on_sheets)])
