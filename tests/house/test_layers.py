"""The house keeps its shape: who may know what, how large a module may be, what stands at the top."""

import ast
import re
import subprocess
import tomllib
from collections import Counter
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
MODULES = sorted([*ROOT.glob("fulfil/**/*.py"), *ROOT.glob("cli/**/*.py")])
# A migration is a frozen record of tables, as long as the tables are.
MIGRATIONS = ROOT / "fulfil" / "store" / "migrations" / "versions"

KNOWN_IN = {
    "sqlalchemy": ("fulfil/store/",),
    "alembic": ("fulfil/store/",),
    "reportlab": ("fulfil/papers/",),
    "click": ("cli/",),
    "random": (),
    "fulfil_demo_catalog": ("cli/",),
}


def imported(path: Path) -> set[str]:
    """The first names of everything a module imports."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            names.add(node.module.split(".")[0])
    return names


@pytest.mark.parametrize("library", sorted(KNOWN_IN))
def test_a_library_is_known_in_its_room_only(library):
    """SQL in store, the PDF library in papers, the command line library and the demo in cli, chance nowhere."""
    knowing = [path.relative_to(ROOT).as_posix() for path in MODULES if library in imported(path)]

    assert [path for path in knowing if not path.startswith(KNOWN_IN[library])] == []


def test_no_module_is_longer_than_400_lines():
    """A longer one is two ideas."""
    written = [*MODULES, *ROOT.glob("demo_catalog/**/*.py"), *ROOT.glob("tests/**/*.py")]
    lengths = {path: path.read_text("utf-8").count("\n") for path in written if MIGRATIONS not in path.parents}

    assert len(lengths) > 700
    assert [(path.name, length) for path, length in lengths.items() if length > 400] == []


def test_every_module_begins_with_prose():
    """The first statement is a docstring of more than a word."""
    silent = []
    for path in MODULES:
        docstring = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8")))
        if not docstring or len(docstring.split()) < 3 or docstring.startswith("Placeholder"):
            silent.append(path.relative_to(ROOT).as_posix())

    assert silent == []


def test_names_that_explain_nothing_are_not_used():
    """A function without a home is an idea without a name."""
    named = re.compile(r"(^|_)(utils?|helpers?|common|misc|managers?)(_|$)")

    assert [path.name for path in MODULES if named.search(path.stem)] == []


def test_the_top_level_holds_what_the_card_names():
    """Dot-files and a lock file may stand beside."""
    tracked = subprocess.run(
        ["git", "ls-files"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    if tracked.returncode:
        pytest.skip("not a git checkout")
    tops = {line.split("/")[0] for line in tracked.stdout.splitlines()}
    expected = {"README.md", "DEVELOPERS.md", "pyproject.toml", "fulfil", "cli", "tests", "demo_catalog"}

    assert {top for top in tops if not top.startswith(".")} - {"requirements.lock"} == expected


def test_every_package_is_packed():
    """A folder with code that the wheel forgets would only be missed by a user."""
    packed = set(tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["packages"])
    modules = [*ROOT.glob("fulfil/**/*.py"), *ROOT.glob("demo_catalog/**/*.py"), *ROOT.glob("cli/**/*.py")]
    folders = {path.parent.relative_to(ROOT).as_posix().replace("/", ".") for path in modules}

    assert {re.sub(r"^(demo_catalog|cli)", r"fulfil_\1", folder) for folder in folders} == packed


def test_no_folder_holds_more_than_25_files():
    """More is two ideas; found by its name is what a file must be."""
    tracked = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False)
    if tracked.returncode:
        pytest.skip("not a git checkout")
    folders = Counter(line.rpartition("/")[0] for line in tracked.stdout.splitlines())

    assert {folder: files for folder, files in folders.items() if files > 25} == {}


def test_every_folder_of_code_says_what_lives_there():
    """Its ``__init__`` is a page of prose; data alone needs a line."""
    said = {path: ast.get_docstring(ast.parse(path.read_text("utf-8"))) or "" for path in MODULES}
    pages = {
        path: text
        for path, text in said.items()
        if path.name == "__init__.py" and len(list(path.parent.glob("*.py"))) > 2
    }

    assert len(pages) > 20
    assert [path.parent.name for path, text in pages.items() if len(text.split()) < 30] == []
