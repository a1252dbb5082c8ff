"""What the shop stands on: programs, fonts, database, disk, clock, leftovers. One sentence each, and what to do.

A *look* says what is right or what is not; looking changes nothing. A report of a fault is told by its kind and place,
and holds nobody's data (:mod:`fulfil_cli.fault` writes it).
"""

import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta
from importlib.metadata import PackageNotFoundError, requires, version
from pathlib import Path

from fulfil.errors import Refusal, StoreRefused
from fulfil.files.written import MARK
from fulfil.papers.faces import Face, printable
from fulfil.store.safe.health import NETWORK_DISKS, Health, health

LEAST_FREE_BYTES = 500_000_000
"""Of a disk: some weeks of papers and a copy of a year's shop."""
BACKUP_AFTER = timedelta(days=2)
CLOCK_MAY_DIFFER = timedelta(minutes=5)
REPORTS = "fulfil-fault-*.txt"
"""Names of the reports of faults."""
_LETTERS = "Žofie Þórður Ελένη Иван 0123"
_NEEDED = re.compile(r"^([A-Za-z0-9._-]+)")
_MB = 1_000_000


@dataclass(frozen=True)
class Look:
    """One thing that was looked at; ``do`` is empty where it is right."""

    what: str
    says: str
    do: str = ""

    @property
    def is_right(self) -> bool:
        """Whether nothing is to be done."""
        return not self.do


def standing(where: str, papers: Path, reports: Path, *, at: datetime) -> list[Look]:
    """All looks, whatever one of them finds."""
    looks: tuple[tuple[str, Callable[[], Iterator[Look]]], ...] = (
        ("programs", _programs),
        ("fonts", _fonts),
        ("shop", lambda: _shop(where, at)),
        ("papers", lambda: _papers(papers)),
        ("faults", lambda: _reports(reports)),
    )
    found: list[Look] = []
    for what, look in looks:
        try:
            found += look()
        except OSError as trouble:
            found.append(Look(what, f"can't be looked at: {trouble.strerror}", "let this person read it"))
    return found


def told_report(path: Path, ours: str) -> Look:
    """What a fault's report says: the kind of error, where it arose, and of which release.

    Raises:
        StoreRefused: it is none, or can't be read.
    """
    try:
        lines = path.read_text("utf-8", "replace").splitlines()
    except OSError as trouble:
        raise StoreRefused("read the report", path, f"a file that can be read; {trouble.strerror}") from trouble
    if not lines or not lines[0].startswith("A fault of fulfil."):
        raise StoreRefused("read the report", path, f"a report that fulfil wrote, named like {REPORTS}")
    theirs = lines[1].split(",")[0].removeprefix("fulfil ") if len(lines) > 1 else ""
    kinds = [line.partition(" (")[0] for line in lines[2:] if line and not line.startswith(" ")]
    places = [line.strip() for line in lines if line.startswith("  ")]
    says = f"{kinds[0] if kinds else 'unknown'} at {places[-1] if places else 'an unknown place'}, fulfil {theirs}"
    do = "send this file to whoever looks after the program, with the command that you gave; it holds nobody's data"
    if theirs != ours:
        do = f"this is fulfil {ours}: give the command again, and send a new report if it fails again"
    return Look("report", says, do)


def _programs() -> Iterator[Look]:
    missing = []
    for line in requires("fulfil") or []:
        name = _NEEDED.match(line)
        if name and "extra ==" not in line:
            try:
                version(name[1])
            except PackageNotFoundError:
                missing.append(name[1])
    if missing:
        yield Look("programs", f"missing: {', '.join(missing)}", "install fulfil anew: pip install fulfil")
    else:
        yield Look("programs", f"fulfil {version('fulfil')} with all that it needs")


def _fonts() -> Iterator[Look]:
    try:
        for face in Face:
            printable(_LETTERS, face)
    except (Refusal, OSError) as trouble:
        yield Look("fonts", f"a paper can't be printed: {trouble}", "install fulfil anew: pip install fulfil")
    else:
        yield Look("fonts", "all faces of the papers are here")


def _shop(where: str, at: datetime) -> Iterator[Look]:
    if not where:
        yield Look("shop", "none was named", "name it: fulfil doctor --shop my-shop.sqlite")
        return
    try:
        seen = health(where)
    except StoreRefused as refused:
        yield Look("shop", str(refused), "do what it says, then look again: fulfil doctor")
        return
    yield from _database(seen)
    if seen.last_written is not None and seen.last_written > at + CLOCK_MAY_DIFFER:
        says = f"it is {at:%Y-%m-%d %H:%M} here, and the shop wrote at {seen.last_written:%Y-%m-%d %H:%M %Z}"
        yield Look("clock", says, "set this computer's clock and time zone")
    if "://" in where:
        return
    yield _free("shop's disk", Path(where).parent)
    newest = seen.newest_backup
    age = None if newest is None else at.timestamp() - newest.stat().st_mtime
    if age is None or age > BACKUP_AFTER.total_seconds():
        says = "there is none in the folder beside the shop" if newest is None else f"the newest is {newest.name}"
        yield Look("backup", says, "make one: fulfil shop backup")
    else:
        assert newest is not None  # noqa: S101 - it has an age
        yield Look("backup", f"{newest.name} is the newest")


def _database(seen: Health) -> Iterator[Look]:
    if seen.damage:
        yield Look(
            "shop",
            f"the file is damaged ({seen.damage})",
            "stop using it; restore the last backup: fulfil shop restore",
        )
        return
    size = f", {seen.bytes_ / _MB:.0f} MB" if seen.bytes_ else ""
    yield Look("shop", f"{seen.engine} opens it and finds no damage{size}")
    if seen.disk in NETWORK_DISKS:
        do = "move it to a disk of this computer, or to PostgreSQL: fulfil shop export"
        yield Look("shop's disk", f"it is another computer's ({seen.disk}), where SQLite can lose what is written", do)
    if seen.log_bytes > max(100 * _MB, seen.bytes_):
        yield Look(
            "shop's log", f"{seen.log_bytes / _MB:.0f} MB wait in it", "close all programs that have the shop open"
        )


def _papers(folder: Path) -> Iterator[Look]:
    there = folder
    while not there.exists() and there != there.parent:
        there = there.parent
    if folder.exists() and not folder.is_dir():
        yield Look("papers", f"{folder} is a file", "name a folder: --out FOLDER")
        return
    yield _free("papers' disk", there)
    left = sorted(folder.glob(f"{MARK}*")) if folder.is_dir() else []
    if left:
        do = "they go with the next papers, an hour from then"
        yield Look("papers", f"{len(left)} half-written files are in {folder} ({left[0].name})", do)
    else:
        yield Look("papers", f"nothing half-written is in {folder}")


def _reports(folder: Path) -> Iterator[Look]:
    found = sorted(folder.glob(REPORTS))
    if found:
        do = f"read it: fulfil doctor {found[-1]}; send it, then remove it"
        yield Look("faults", f"{len(found)} reports of faults are in {folder}", do)


def _free(what: str, folder: Path) -> Look:
    free = shutil.disk_usage(folder).free
    if free < LEAST_FREE_BYTES:
        return Look(what, f"{free / _MB:.0f} MB are free", "make space: older papers and backups elsewhere")
    return Look(what, f"{free / 1e9:.0f} GB are free")
