"""What a command may load: a person at a bench waits for each module that it doesn't need.

Seconds differ from machine to machine, modules don't, so the test names modules;
``tests/benchmarks/terminal/commands.py`` measures. The limits (0.15 s over a bare import of the store's libraries) are
the house's own.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from fulfil.records.plan import WalkRecord
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop

TABLES = ("pandas", "numba", "openpyxl")
PAPERS = ("reportlab", "uharfbuzz", "fontTools")
SCHEMA = ("alembic", "sqlalchemy.dialects.postgresql")
WEIGHING = ("numpy", "scipy", "fulfil.weighing.error_model")
BOOKS = (*TABLES, *PAPERS, *SCHEMA)
"""What no look into the books needs."""

LOOKS = [
    ("orders list", (*BOOKS, *WEIGHING, "PIL")),
    ("orders show O-1001", (*BOOKS, *WEIGHING, "PIL")),
    ("orders why O-1001", (*BOOKS, *WEIGHING, "PIL")),
    ("walks list", (*BOOKS, *WEIGHING, "PIL")),
    ("packages list", (*BOOKS, *WEIGHING, "PIL")),
    ("people list", (*BOOKS, *WEIGHING, "PIL")),
    ("stock levels", (*BOOKS, *WEIGHING, "PIL")),
    ("walks show {walk}", (*BOOKS, *WEIGHING, "PIL")),
    ("bags show {bag}", (*BOOKS, "scipy", "PIL")),
    ("bags check {bag} --gross 1", (*BOOKS, "PIL")),
    ("shorts list", (*BOOKS, *WEIGHING, "PIL")),
    ("day next", (*BOOKS, *WEIGHING, "PIL")),
    ("day report", (*BOOKS, "scipy", "PIL")),
]


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """One order of four bags, a bag of it, and its walk."""
    path = tmp_path_factory.mktemp("shop") / "shop.sqlite"
    bag = bench_shop(path, orders=1)["O-1001"][0]
    with open_shop(path) as opened, opened.reading() as books:
        return path, {"bag": bag, "walk": books.find(WalkRecord)[0].number}


@pytest.mark.parametrize(("words", "unwanted"), LOOKS, ids=lambda one: one if isinstance(one, str) else "")
def test_a_command_loads_only_what_it_needs(
    shop: tuple[Path, dict[str, str]], tmp_path: Path, words: str, unwanted: tuple[str, ...]
) -> None:
    """It answers (0 done, 1 the shop must act), and none of these modules was loaded for it."""
    path, numbers = shop
    code = f"""
import sys
from fulfil_cli.main import main
try:
    main({words.format(**numbers).split()} + ["--shop", {str(path)!r}, "--at", {AT.isoformat()!r}])
except SystemExit as left:
    print(left.code in (0, 1), [one for one in {unwanted!r} if one in sys.modules], file=sys.stderr)
"""
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        env={**os.environ, "FULFIL_SETTINGS": str(tmp_path / "none.toml")},
    )

    assert ran.stderr.splitlines()[-1] == "True []", ran.stdout + ran.stderr
