"""Every paper is finished: one declaration, a sample, a golden record and a twin, and it is found by its sheet."""

import ast
from importlib import import_module
from pathlib import Path

import pytest
from fulfil_demo_catalog.samples.papers import SAMPLES

from fulfil.papers import twin
from fulfil.papers.kind import PaperKind
from fulfil.papers.registry import GROUPS, paper_of, papers

ROOT = Path(__file__).parents[2]
ROOM = ROOT / "fulfil" / "papers"
GOLDEN = ROOT / "tests" / "papers" / "golden"


def declares_a_paper(path: Path) -> bool:
    """Whether a module has ``PAPER``."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [target for node in tree.body if isinstance(node, ast.Assign) for target in node.targets]
    return any(isinstance(name, ast.Name) and name.id == "PAPER" for name in names)


DECLARED = sorted(path for path in ROOM.rglob("*.py") if declares_a_paper(path))
BY_PLACE = {f"{path.parent.name}/{path.stem}": path for path in DECLARED}
MADE = {type(sheet) for sample in SAMPLES.values() for sheet in sample.sheets()}


def declared_in(path: Path) -> PaperKind:
    """The declaration of a module."""
    return import_module(".".join(path.relative_to(ROOT).with_suffix("").parts)).PAPER


def test_papers_are_found():
    """The search finds modules at all, and the registry those and no others."""
    assert len(DECLARED) >= 26
    assert len(papers()) == len(DECLARED)


@pytest.mark.parametrize("place", BY_PLACE)
def test_a_paper_is_found_by_its_sheet(place):
    """No two papers share a sheet's class, and each stands in a group that is searched."""
    paper = declared_in(BY_PLACE[place])

    assert paper_of(paper.sheet) is paper
    assert BY_PLACE[place].parent.name in GROUPS


@pytest.mark.parametrize("place", BY_PLACE)
def test_every_paper_has_a_sample(place):
    """It is among those that ``fulfil papers sample`` prints."""
    assert declared_in(BY_PLACE[place]).sheet in MADE


@pytest.mark.parametrize("place", BY_PLACE)
def test_every_paper_has_a_golden_record(place):
    """Where its texts and boxes stand is recorded, in a file of its name."""
    assert (GOLDEN / f"{place}.txt").stat().st_size > 100


@pytest.mark.parametrize("name", sorted(SAMPLES))
def test_every_sheet_has_a_twin(name):
    """Its kind has a name to be said by; the calibration page alone has no sheet, it is drawn, not filled in."""
    for sheet in SAMPLES[name].sheets():
        paper = paper_of(type(sheet))

        assert twin.text(sheet).startswith(f"{paper.name} {paper.number_of(sheet)}")


def test_looking_for_a_paper_builds_no_sheet():
    """The registry imports declarations; no sample is behind it, nor the demo's package."""
    knowing = [path for path in (ROOT / "fulfil").rglob("*.py") if "fulfil_demo_catalog" in path.read_text("utf-8")]

    assert knowing == []


def test_every_folder_of_papers_says_what_lives_there():
    """A page of prose: what lives here, what may be imported, where to start."""
    for folder in sorted({path.parent for path in ROOM.rglob("*.py")}):
        said = ast.get_docstring(ast.parse((folder / "__init__.py").read_text("utf-8"))) or ""

        assert len(said.split()) >= 40, folder.name
