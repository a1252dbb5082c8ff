"""A dry run says what the step says, and leaves shop, folders and files as they were."""

import json
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from fulfil_cli.main import NOUNS, main

from tests.harbour_shop import DAY, NOW, key, make_harbour, plan, write_catalogue

WRITES_MUCH = {
    "bins retire", "catalogue import", "day close", "kits import", "manifests close", "orders forget", "orders import",
    "orders map", "parts retire", "scales retire", "services bill", "services map", "services retire", "shop import",
    "shorts buy", "shorts make", "walks plan", "walks release",
}  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A harbour shop with two orders."""
    with make_harbour(tmp_path / "shop.sqlite") as shop:
        key(shop, "A-1", ("SPRING-2", 4), ("FELT-9", 2))
        key(shop, "A-2", ("BELL-3", 900))
    return tmp_path


def typed(folder: Path, *words: str) -> tuple[int, dict, str]:
    """Exit code, facts, sentences of one command."""
    more = ["--shop", str(folder / "shop.sqlite"), "--at", NOW.isoformat(), "--by", "huia"]
    ran = CliRunner().invoke(main, [*words, *more, "--json"], catch_exceptions=False)
    said = CliRunner().invoke(main, [*words, *more], catch_exceptions=False) if "--dry-run" in words else ran
    return ran.exit_code, json.loads(ran.stdout), said.stdout


def rows(folder: Path) -> dict[str, bytes]:
    """All that the shop holds, as its archive's files."""
    from zipfile import ZipFile

    from fulfil.store.safe.archive import export_shop

    made = export_shop(str(folder / "shop.sqlite"), folder / "rows.zip").path
    with ZipFile(made) as archive:
        held = {name: archive.read(name) for name in archive.namelist()}
    made.unlink()
    return held


def test_who_has_one() -> None:
    """What writes much; a verb that lost it, or a new one, is looked at here."""
    context = click.Context(main)
    found = {
        f"{noun} {verb}"
        for noun in NOUNS
        if isinstance(group := main.get_command(context, noun), click.Group)
        for verb, one in group.commands.items()
        if any("--dry-run" in param.opts for param in one.params)
    }

    assert found == WRITES_MUCH


def test_a_plan_is_tried_and_then_made_the_same(folder: Path) -> None:
    """Exit code and facts are the step's own."""
    before = rows(folder)

    code, tried, says = typed(folder, "walks", "plan", "--dry-run")
    assert rows(folder) == before
    done = typed(folder, "walks", "plan")

    assert says.splitlines()[0].startswith("A dry run, on a copy of the shop: nothing is changed.")
    assert (
        (code, tried["bags"], tried["short_lines"]) == (done[0], done[1]["bags"], done[1]["short_lines"]) == (1, 4, 1)
    )
    assert rows(folder) != before


def test_papers_of_a_dry_run_are_printed_nowhere(folder: Path) -> None:
    """They are named as they would be called."""
    with make_harbour(folder / "other.sqlite") as shop:
        key(shop, "A-1", ("SPRING-2", 4))
        plan(shop, day=DAY)
    (folder / "shop.sqlite").unlink()
    (folder / "other.sqlite").rename(folder / "shop.sqlite")
    before = rows(folder)

    code, tried, _ = typed(folder, "walks", "release", "--out", str(folder / "papers"), "--dry-run")

    assert (code, tried["dry_run"]) == (0, True)
    assert all(Path(one).parent == folder / "papers" for one in tried["papers"])
    assert len(tried["papers"]) > 2
    assert not (folder / "papers").exists()
    assert rows(folder) == before


def test_other_steps_leave_the_shop_alone(folder: Path) -> None:
    """A catalogue with a change, retiring, forgetting; a refusal is the step's own."""
    before = rows(folder)
    old = folder / "old.pdf"
    old.write_bytes(b"%PDF not ours")
    catalogue = write_catalogue(folder / "changed")
    parts = (catalogue / "parts.csv").read_text("utf-8")
    (catalogue / "parts.csv").write_text(parts.replace("FELT-9,", "FELT-9,new ", 1), "utf-8")

    assert typed(folder, "catalogue", "import", str(catalogue), "--dry-run")[1]["counts"]["parts"]["changed"] == 1
    assert typed(folder, "parts", "retire", "CAM-7", "--dry-run")[0] in (0, 1)
    forget = typed(folder, "orders", "forget", "--older-than-days", "1", "--papers", str(folder), "--dry-run")
    assert forget[1]["removed"] == []
    assert typed(folder, "services", "retire", "NONE", "--dry-run")[0] == 2

    assert rows(folder) == before


def test_an_archive_is_tried_where_no_shop_is(folder: Path) -> None:
    """Nothing is made."""
    typed(folder, "shop", "export", str(folder / "shop.zip"))
    words = ["shop", "import", str(folder / "shop.zip"), "--dry-run", "--json", "--shop", str(folder / "new.sqlite")]

    ran = CliRunner().invoke(main, words, catch_exceptions=False)

    assert (ran.exit_code, json.loads(ran.stdout)["findings"]) == (0, [])
    assert not (folder / "new.sqlite").exists()
