"""How a shop's database stands: which engine, how large, on what disk, damaged or not, copied when.

>>> from tempfile import TemporaryDirectory
>>> with TemporaryDirectory() as folder:
...     open_shop(Path(folder) / "shop.sqlite", create=True).close()
...     seen = health(str(Path(folder) / "shop.sqlite"))
>>> seen.engine.startswith("SQLite"), seen.damage, seen.newest_backup
(True, '', None)

Nothing is changed: the shop is opened for reading only.
"""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.store.safe.copies import backups_of, beside
from fulfil.store.shop import open_shop

NETWORK_DISKS = frozenset({"nfs", "nfs4", "cifs", "smb3", "smbfs", "9p", "fuse.sshfs", "afs"})
"""Kinds of file systems that are another computer's (Linux, proc(5), "/proc/mounts")."""
_MOUNTS = Path("/proc/mounts")


@dataclass(frozen=True)
class Health:
    """``bytes_`` and ``log_bytes`` are of an SQLite file and its log; ``damage`` is what it says of itself."""

    engine: str
    last_written: datetime | None
    damage: str = ""
    bytes_: int = 0
    log_bytes: int = 0
    disk: str = ""
    newest_backup: Path | None = None


def health(where: str) -> Health:
    """Looks at a shop's database.

    Raises:
        StoreRefused: it can't be opened at all.
    """
    with open_shop(where) as shop, shop.reading() as books:
        last = books.greatest(JournalEntry, "at")
        connection = books._connection
        if connection.dialect.name != "sqlite":
            version = ".".join(map(str, connection.dialect.server_version_info or ()))
            return Health(f"PostgreSQL {version}", last)
        version = str(connection.exec_driver_sql("SELECT sqlite_version()").scalar())
        try:
            said = str(connection.exec_driver_sql("PRAGMA quick_check(1)").scalar())
        except DBAPIError as trouble:
            said = str(trouble.orig)
    path = Path(where)
    backups = backups_of(path)
    return Health(
        f"SQLite {version}",
        last,
        damage="" if said == "ok" else said,
        bytes_=path.stat().st_size,
        log_bytes=sum(one.stat().st_size for one in beside(path) if one.exists() and one.name.endswith("-wal")),
        disk=disk_of(path),
        newest_backup=max(backups, key=lambda one: one.stat().st_mtime) if backups else None,
    )


def disk_of(path: Path, mounts: Path = _MOUNTS) -> str:
    """The kind of file system that a file is on; empty where the system doesn't say."""
    try:
        rows = [line.split() for line in mounts.read_text("utf-8", "replace").splitlines()]
        there = path.resolve()
    except OSError:
        return ""
    found = [(len(row[1]), row[2]) for row in rows if len(row) > 2 and there.is_relative_to(row[1])]
    return max(found)[1] if found else ""
