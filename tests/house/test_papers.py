"""Every paper is finished: it has a sample, a golden record and a twin, and can be reached by name."""

import ast
from pathlib import Path

import pytest

from fulfil.papers import twin
from fulfil.papers.sample_papers import CALIBRATION, DOCUMENTS, LABELS, sample_sheets

ROOT = Path(__file__).parents[2]
GOLDEN = ROOT / "tests" / "papers" / "golden"
NAMES = sorted({*DOCUMENTS, *LABELS, CALIBRATION})


def writes_a_paper(path: Path) -> bool:
    """Whether a module has ``pdf``."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return any(isinstance(node, ast.FunctionDef) and node.name == "pdf" for node in tree.body)


PAPERS = sorted(path.stem for path in (ROOT / "fulfil" / "papers").rglob("*.py") if writes_a_paper(path))


def test_papers_are_found():
    """The search finds modules at all, and each sample is of one of them."""
    assert len(PAPERS) >= 28
    assert len(NAMES) >= len(PAPERS)


@pytest.mark.parametrize("paper", PAPERS)
def test_every_paper_has_a_sample(paper):
    """A module with ``pdf`` is among those that ``fulfil papers sample`` prints."""
    sampled = {module.__name__.rpartition(".")[2] for module, _ in DOCUMENTS.values()}
    sampled |= {labels.paper.__name__.rpartition(".")[2] for labels in LABELS.values()}

    assert paper in sampled | {CALIBRATION}


@pytest.mark.parametrize("name", NAMES)
def test_every_sample_has_a_golden_record(name):
    """Where its texts and boxes stand is recorded."""
    assert (GOLDEN / f"{name}.txt").stat().st_size > 100


@pytest.mark.parametrize("name", sorted({*DOCUMENTS, *LABELS}))
def test_every_sheet_has_a_twin(name):
    """Its kind has a name to be said by; the calibration page alone has no sheet, it is drawn, not filled in."""
    for sheet in sample_sheets(name):
        title, number = twin.NAMES[type(sheet)]

        assert twin.text(sheet).startswith(f"{title} {getattr(sheet, number)}")
