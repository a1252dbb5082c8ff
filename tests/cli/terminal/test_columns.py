"""Tables fit 80 columns: of any rows, and of every verb that lists, in a shop with long names."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.columns import WIDTH, table
from fulfil_cli.main import main
from hypothesis import given
from hypothesis import strategies as st

from tests.harbour_shop import DAY, NOW, check, key, make_harbour, pack, plan, release, send

LISTING = (
    "bags show {bag}", "bench mistakes", "bins count WAKA-1 --counted 7", "claims list", "claims report", "day next",
    "day report", "day reconcile", "day month", "journal show", "kits list", "manifests list --all",
    "orders list --all", "orders drafts", "orders find sample", "orders pulled", "orders returns", "orders show H-1",
    "orders show H-2",
    "orders why H-1", "packages list --all", "parts show SPRING-2", "parts to-sample", "people list", "printers list",
    "room moves", "room visits --out {folder}/visits.svg", "scales table", "services collections",
    "services quote --country NZ --post-code 8016 --gross 500 --size 160x110x60", "shorts list",
    "shop check", "stations list", "stock ledger WAKA-1", "stock levels", "stock movement", "stock reorder",
    "walks compare", "walks list --all", "walks schedule", "walks show {walk}", "walks times",
)  # fmt: skip
"""What shows rows; a test in :mod:`tests.cli.test_vocabulary` has all verbs."""


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, str]]:
    """A harbour shop in the middle of its day."""
    folder = tmp_path_factory.mktemp("columns")
    with make_harbour(folder / "shop.sqlite") as opened:
        key(opened, "H-1", ("REED-A", 25), ("CAM-7", 2), ("SPRING-2", 3))
        key(opened, "H-2", ("REED-A", 7), ("BELL-3", 900), minutes=5)
        plan(opened, day=DAY)
        release(opened, folder)
        check(opened, "H-1")
        pack(opened, "H-1")
        send(opened, "H-1")
        with opened.reading() as books:
            from fulfil.records.plan import Bag

            bag = books.find(Bag)[0]
    return folder, {"bag": bag.code, "walk": bag.walk_number}


@pytest.mark.parametrize("typed", LISTING)
def test_rows_fit(shop: tuple[Path, dict[str, str]], typed: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Lines in columns; sentences are wrapped by the terminal itself."""
    folder, known = shop
    monkeypatch.chdir(folder)  # some of them print beside
    words = typed.format(**known, folder=folder).split()
    ran = CliRunner().invoke(
        main, [*words, "--shop", str(folder / "shop.sqlite"), "--at", NOW.isoformat()], catch_exceptions=False
    )

    assert ran.exit_code in (0, 1), ran.output
    assert [line for line in ran.stdout.splitlines() if len(line) > WIDTH and "  " in line.strip()] == []


CELL = st.text(st.characters(categories=["L", "N", "P", "Zs"], max_codepoint=0x24F), max_size=90)


@given(st.lists(st.tuples(CELL, st.integers(-(10**12), 10**12), CELL, CELL), max_size=5), st.integers(50, 120))
def test_any_table_fits_and_keeps_what_it_says(rows: list[tuple[str, int, str, str]], width: int) -> None:
    """Every word is still there, in the order of its column."""
    lines = table(rows, ("one", "number", "a longer head", "x"), width)

    assert max(map(len, lines)) <= width
    told = "".join("".join(lines).split())
    for row in rows:
        for cell in row:
            assert all(sign in told for sign in "".join(str(cell).split()))


def test_a_narrow_table_is_left_alone() -> None:
    """As wide as its cells."""
    assert table([("a", 1), ("bb", 22)], ("x", "n")) == ["x    n", "a    1", "bb  22"]
