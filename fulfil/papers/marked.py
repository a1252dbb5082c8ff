"""Papers that fulfil wrote, told from other files by the mark inside them, and removed when they are old.

>>> from tempfile import TemporaryDirectory
>>> with TemporaryDirectory() as folder:
...     _ = (Path(folder) / "letter.pdf").write_bytes(b"%PDF-1.4 /Creator (another program)")
...     remove_older(Path(folder), datetime(2999, 1, 1).astimezone())
[]

Limits: a paper's own age counts, not that of what is on it. Files for machines (XML, EDIFACT) carry no mark and stay.
"""

from datetime import UTC, datetime
from pathlib import Path

_MARK = b"/Creator (fulfil)"


def remove_older(folder: Path, before: datetime, *, is_dry_run: bool = False) -> list[Path]:
    """Removes our PDF files in a folder that were written before a moment; what was, or in a dry run would be."""
    removed = []
    for path in sorted(folder.glob("*.pdf")) if folder.is_dir() else []:
        if path.is_symlink() or not path.is_file():
            continue
        written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
        if written < before and _MARK in path.read_bytes():
            if not is_dry_run:
                path.unlink()
            removed.append(path)
    return removed
