"""The demo's folder, and the mark by which it knows its own: a list of the files that it made.

>>> from tempfile import TemporaryDirectory
>>> with TemporaryDirectory() as folder:
...     (Path(folder) / "letter.txt").write_text("mine") and None
...     claim(Path(folder))  # doctest: +ELLIPSIS
Traceback (most recent call last):
    ...
fulfil.errors.FileRefused: Cannot run the demo in '...': expected an empty folder, or one that holds an earlier demo ...

A folder is claimed whole or not at all: before the first byte changes, every file in it must be on the list, and the
shop must be marked itself (SQLite documentation, "PRAGMA user_version": a number that an application may use as it
likes). A demo that was broken off has no list yet, so its folder is refused: remove it by hand.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from fulfil.errors import FileRefused

SHOP, MARK = "shop.sqlite", ".made-by-the-demo"
_SHOP_FILES = (SHOP, f"{SHOP}-wal", f"{SHOP}-shm")
_SHOP_MARK = 20_260_302
_FIRST_LINE = "An invented day: the next demo in this folder replaces the files below."


def claim(out: Path) -> Path:
    """Takes an earlier demo away and gives the place of the new shop.

    Raises:
        FileRefused: the folder holds something that no demo made; nothing was changed.
    """
    found = sorted(_files(out)) if out.is_dir() else []
    made = _listed(out)
    for name in found:
        if not (_is_marked(out / SHOP) and bool(made) if name in _SHOP_FILES else name in made):
            expected = "an empty folder, or one that holds an earlier demo and nothing else"
            raise FileRefused("run the demo in", out, f"{expected}; found {name}, choose another folder")
    for name in found:
        (out / name).unlink(missing_ok=True)
    out.mkdir(parents=True, exist_ok=True)
    return out / SHOP


def mark_made(out: Path) -> None:
    """Marks the shop, and lists all that is in the folder now as made by the demo."""
    with closing(sqlite3.connect(out / SHOP)) as shop:
        shop.execute(f"PRAGMA user_version = {_SHOP_MARK}")
    names = sorted({*_files(out), "summary.json"} - {*_SHOP_FILES, MARK})
    (out / MARK).write_text("\n".join([_FIRST_LINE, *names]) + "\n", encoding="utf-8")


def mark_printed(out: Path, papers: Path) -> None:
    """Lists the papers that were printed since the folder was marked; what else came into it stays somebody's own."""
    names = {path.relative_to(out).as_posix() for path in papers.rglob("*") if path.is_file()}
    (out / MARK).write_text("\n".join([_FIRST_LINE, *sorted((names | _listed(out)) - {MARK})]) + "\n", encoding="utf-8")


def _files(folder: Path) -> Iterator[str]:
    """Files and links below a folder; a link is itself, whatever it points to."""
    for path in folder.rglob("*"):
        if path.is_symlink() or not path.is_dir():
            yield path.relative_to(folder).as_posix()


def _listed(out: Path) -> frozenset[str]:
    try:
        first, *names = (out / MARK).read_text(encoding="utf-8").splitlines()
    except (OSError, ValueError):
        return frozenset()
    return frozenset(names) | {MARK} if first == _FIRST_LINE else frozenset()


def _is_marked(shop: Path) -> bool:
    if shop.is_symlink() or not shop.is_file():
        return False
    # Looked at without opening it: even a reading connection would leave files of a write-ahead log beside it
    # (SQLite documentation, "Database File Format" 1.3: the user version is at offset 60, big-endian).
    with shop.open("rb") as file:
        return file.read(64)[60:] == _SHOP_MARK.to_bytes(4, "big")
