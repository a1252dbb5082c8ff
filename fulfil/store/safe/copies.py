"""Copies of a shop that can be trusted: made while everybody works, opened and checked before they are called one.

>>> from tempfile import TemporaryDirectory
>>> from fulfil.store.shop import open_shop
>>> at = datetime(2026, 3, 2, 18, tzinfo=UTC)
>>> with TemporaryDirectory() as folder:
...     open_shop(Path(folder) / "shop.sqlite", create=True).close()
...     made = back_up(Path(folder) / "shop.sqlite", Path(folder) / "backups", at=at)
...     restore(made.path, Path(folder) / "again.sqlite").removed
...     made.path.name
()
'shop-20260302T180000Z.sqlite'

A copied file lacks what is still in the write-ahead log beside it; the database's own backup takes one state of the
shop, log included (SQLite documentation, "Online Backup API"). It is one file that needs nothing beside it, carries a
mark (``PRAGMA application_id``), and is on the disk before it gets its name. Older backups go only if they carry the
mark and the newer one holds.

Limits: an SQLite shop; PostgreSQL has tools of its own.
"""

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from fulfil.errors import StoreRefused
from fulfil.progress import tell

BACKUP_MARK = 0x4655_4C42
KEEP = 14
"""Backups that stay where nobody says otherwise: two weeks of evenings."""
_PAGES = 10_000
"""Copied at a time; where somebody writes meanwhile, the database begins anew by itself."""
_TABLES = {"alembic_version", "journal_entry", "part"}


@dataclass(frozen=True)
class Backup:
    """A backup that was opened and checked; ``removed`` are the older ones that went."""

    path: Path
    bytes_: int
    last_recorded: str
    removed: tuple[Path, ...] = ()


def back_up(shop: Path, folder: Path, *, at: datetime, keep: int = KEEP, name: str = "") -> Backup:
    """Copies a shop while others work with it, and keeps the newest ``keep`` copies in the folder.

    ``name`` is the copy's, where it isn't to be named by its time; such a copy is never removed.

    Raises:
        StoreRefused: no shop, a damaged one, a full disk, a folder that can't be written, or a copy of that name.
    """
    must_be_shop(shop, "back up the shop")
    target = folder / f"{name or f'{shop.stem}-{at.astimezone(UTC):%Y%m%dT%H%M%SZ}'}.sqlite"
    if is_there(target, "back up the shop into"):
        raise StoreRefused("back up the shop into", target, "a name that no file has")
    with _in_words("back up the shop into", target):
        folder.mkdir(parents=True, exist_ok=True)
        last = _copied(shop, target, BACKUP_MARK)
    return Backup(target, target.stat().st_size, last, () if name else tuple(_thinned(folder, shop.stem, target, keep)))


def restore(backup: Path, shop: Path) -> Backup:
    """Makes a shop of a backup, where none is yet; the backup stays as it is.

    Raises:
        StoreRefused: no backup or a damaged one, something is there already, or it can't be written.
    """
    must_be_shop(backup, "restore the backup")
    for there in (shop, *beside(shop)):
        if is_there(there, "restore a shop into"):
            expected = (
                "a place where no shop is; move that file and those named like it aside first, nothing was changed"
            )
            raise StoreRefused("restore a shop into", there, expected)
    if not shop.parent.is_dir():
        raise StoreRefused("restore a shop into", shop, "a folder that exists")
    with _in_words("restore the backup", backup):
        last = _copied(backup, shop, 0)
    return Backup(shop, shop.stat().st_size, last)


def beside(shop: Path) -> tuple[Path, ...]:
    """The files of a write-ahead log: an old one beside a new shop would be played into it."""
    return tuple(shop.with_name(shop.name + ending) for ending in ("-wal", "-shm", "-journal"))


def is_there(path: Path, tried: str) -> bool:
    """Whether a file or folder has that name; one that is too long for the disk is refused in words."""
    with _in_words(tried, path):
        return path.exists()


def must_be_shop(path: Path, tried: str) -> None:
    """Refuses what is no fulfil database; looks, and changes nothing."""
    with _in_words(tried, path):  # a name may be too long for the disk
        is_file = path.is_file()
    if not is_file:
        raise StoreRefused(tried, path, "the file of a shop")
    with _in_words(tried, path), closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as opened:
        names = {name for (name,) in opened.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if not names >= _TABLES:
        raise StoreRefused(tried, path, "a fulfil database; this one belongs to another program")


def _copied(source: Path, target: Path, mark: int) -> str:
    """The copy under a temporary name, checked and on the disk, then renamed; what was recorded last, by its time."""
    part = target.with_name(f".{target.name}.part")
    try:
        with closing(sqlite3.connect(source)) as theirs, closing(sqlite3.connect(part)) as ours:
            theirs.backup(
                ours, pages=_PAGES, progress=lambda _, left, of: tell("copying pages", of - left, of), sleep=0
            )
            ours.execute("PRAGMA journal_mode = DELETE")
            ours.execute(f"PRAGMA application_id = {mark}")
            _must_be_whole(ours, source)
            last = ours.execute("SELECT max(at) FROM journal_entry").fetchone()[0]
        _synced(part)
        part.replace(target)
        _synced(target.parent)
    finally:
        for left in (part, *beside(part)):
            with suppress(OSError):
                left.unlink()
    return str(last or "")[:16]


def _must_be_whole(opened: sqlite3.Connection, source: Path) -> None:
    found = [says for (says,) in opened.execute("PRAGMA integrity_check(1)")]
    pointing = opened.execute("PRAGMA foreign_key_check").fetchone()
    if found != ["ok"] or pointing is not None:
        expected = (
            "an undamaged database; no copy was made, older copies stay: keep them and ask who looks after the shop"
        )
        raise StoreRefused("copy", source, expected)


def _synced(path: Path) -> None:
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _thinned(folder: Path, stem: str, newest: Path, keep: int) -> Iterator[Path]:
    """Removes older backups of this shop, by their names' times; each carries our mark, or it stays."""
    pattern = re.compile(re.escape(stem) + r"-\d{8}T\d{6}Z\.sqlite")
    ours = sorted(path for path in folder.iterdir() if pattern.fullmatch(path.name) and _is_marked(path))
    for path in [one for one in ours if one != newest][: max(0, len(ours) - max(1, keep))]:
        path.unlink()
        yield path


def backups_of(shop: Path, folder: Path | None = None) -> list[Path]:
    """The backups of a shop in a folder, else beside it in ``backups``, the oldest first; each carries our mark."""
    where = folder or shop.parent / "backups"
    return sorted(path for path in where.glob(f"{shop.stem}-*.sqlite") if _is_marked(path)) if where.is_dir() else []


def _is_marked(path: Path) -> bool:
    """By the file's head, without opening it (SQLite documentation, "Database File Format" 1.3: offset 68)."""
    if path.is_symlink() or not path.is_file():
        return False
    with path.open("rb") as file:
        return file.read(72)[68:] == BACKUP_MARK.to_bytes(4, "big")


@contextmanager
def _in_words(tried: str, path: Path) -> Iterator[None]:
    try:
        yield
    except (sqlite3.Error, OSError) as trouble:
        says = str(trouble).lower()
        expected = "a database and a folder that can be read and written"
        if "full" in says or "no space" in says:
            expected = "free space on the disk; nothing was changed, make space and do it again"
        elif "not a database" in says or "malformed" in says:
            expected = "an undamaged fulfil database; nothing was changed, older copies stay"
        raise StoreRefused(tried, path, expected) from trouble
