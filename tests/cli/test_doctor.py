"""``fulfil doctor``: one sentence for each thing that the shop stands on, and the next action where one is off."""

import json
import os
import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from fulfil_cli.fault import report_fault
from fulfil_cli.main import main

from fulfil.records.happening import Happening
from fulfil.store.safe.copies import back_up
from fulfil.store.safe.health import disk_of
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop

NOW = datetime.now(UTC)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A small shop with a backup of today, and a folder for reports of its own."""
    bench_shop(tmp_path / "shop.sqlite", orders=1, bags=1)
    reports = tmp_path / "reports"
    reports.mkdir()
    monkeypatch.setattr("tempfile.tempdir", str(reports))
    back_up(tmp_path / "shop.sqlite", tmp_path / "backups", at=AT)
    return tmp_path / "shop.sqlite"


def look(shop: Path, *words: str) -> Result:
    """Runs it."""
    papers = ["--papers", str(shop.parent / "papers")]
    return CliRunner().invoke(main, ["doctor", *words, "--shop", str(shop), *papers, "--json"])


def to_do(ran: Result) -> dict[str, str]:
    """What is to be done, by what it is about."""
    return {one["what"]: one["do"] for one in json.loads(ran.stdout)["looks"] if one["do"]}


def test_a_sound_shop(shop: Path) -> None:
    """All is looked at, nothing is to do, nothing was changed."""
    before = shop.read_bytes()
    ran = look(shop)
    assert (ran.exit_code, to_do(ran)) == (0, {})
    seen = {one["what"] for one in json.loads(ran.stdout)["looks"]}
    assert seen == {"programs", "fonts", "shop", "shop's disk", "backup", "papers' disk", "papers"}
    assert shop.read_bytes() == before
    assert (
        "All is right."
        in CliRunner().invoke(main, ["doctor", "--shop", str(shop), "--papers", str(shop.parent)]).output
    )


def test_what_is_off_is_named_with_its_action(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An old backup, half-written papers, a report, a full disk, a clock that is behind."""
    (shop.parent / "papers").mkdir()
    (shop.parent / "papers" / ".fulfil.walk.pdf.abcd").write_bytes(b"half")
    (backup,) = (shop.parent / "backups").glob("*.sqlite")
    os.utime(backup, ((NOW - timedelta(days=9)).timestamp(),) * 2)
    report_fault(ValueError("Ngaio Sample"))
    monkeypatch.setattr(shutil, "disk_usage", lambda _: shutil._ntuple_diskusage(10**9, 10**9, 1000))
    with open_shop(shop) as opened, opened.writing() as books:
        books.journal(at=NOW + timedelta(days=1), person="ann", event=Happening.BAG_BOXED, subject="B-1")

    ran = look(shop)

    assert ran.exit_code == 1
    found = to_do(ran)
    assert set(found) == {"backup", "papers", "faults", "shop's disk", "papers' disk", "clock"}
    assert found["backup"] == "make one: fulfil shop backup"
    assert "Sample" not in ran.output


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (None, "create the shop first"),
        (b"no database, but long enough to be read as one" * 9, "fulfil database"),
    ],
)
def test_a_shop_that_does_not_open_is_one_sentence(shop: Path, content: bytes | None, says: str) -> None:
    """Missing or something else: the rest is looked at all the same."""
    shop.unlink()
    if content is not None:
        shop.write_bytes(content)
    ran = look(shop)
    assert ran.exit_code == 1
    (said,) = [one["says"] for one in json.loads(ran.stdout)["looks"] if one["what"] == "shop"]
    assert says in said
    assert "papers" in {one["what"] for one in json.loads(ran.stdout)["looks"]}


def test_a_torn_page_is_seen(shop: Path) -> None:
    """Half a page of the file is another's: the database says so, and the sentence says what to do."""
    with shop.open("r+b") as file:
        for page in range(2, 40):
            file.seek(page * 4096 + 100)
            file.write(b"\xff" * 2000)
    ran = look(shop)
    assert ran.exit_code == 1
    (said,) = [one for one in json.loads(ran.stdout)["looks"] if one["what"] == "shop"]
    assert "restore" in said["do"] + said["says"]


def test_a_report_is_read(shop: Path) -> None:
    """Kind and place of the error; another release is told to try again; another file is refused."""
    try:
        raise ZeroDivisionError("Ngaio Sample")
    except ZeroDivisionError as trouble:
        report_fault(trouble)
    (report,) = (shop.parent / "reports").glob("*.txt")
    ran = look(shop, str(report))
    said = json.loads(ran.stdout)
    assert ran.exit_code == 1
    assert "ZeroDivisionError at" in said["says"]
    assert "test_a_report_is_read" in said["says"]
    assert said["do"].startswith("send this file")
    report.write_text(report.read_text().replace("fulfil 0", "fulfil 00"), "utf-8")
    assert "give the command again" in json.loads(look(shop, str(report)).stdout)["do"]
    report.write_text("a letter", "utf-8")
    assert look(shop, str(report)).exit_code == 3


def test_a_disk_of_another_computer_is_known(tmp_path: Path) -> None:
    """By the kind of the mount that is nearest above the file (proc(5))."""
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sda1 / ext4 rw 0 0\nserver:/x {tmp_path.resolve()} nfs4 rw 0 0\n")
    assert disk_of(tmp_path / "shop.sqlite", mounts) == "nfs4"
    assert disk_of(Path("/shop.sqlite"), mounts) == "ext4"
    assert disk_of(tmp_path, tmp_path / "none") == ""
