"""Files are written whole: under a temporary name in the same folder, then renamed when complete.

>>> from tempfile import TemporaryDirectory
>>> with TemporaryDirectory() as folder:
...     write_whole(Path(folder) / "plan.txt", b"stop 1")
...     [path.name for path in Path(folder).iterdir()]
['plan.txt']

Renaming replaces an older file in one step (POSIX.1-2017, rename); until then the older one stays as it was. What a
program that was killed left under a temporary name carries our mark, and goes with the next files of that folder, once
it is an hour older than they are: nobody writes one file for an hour.
"""

import errno
import os
import tempfile
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.names import file_name

MARK = ".fulfil."
"""How temporary names begin."""
LEFT_AFTER_S = 3600.0
_NO_SPACE = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG)


def write_whole(path: Path, content: bytes) -> None:
    """Writes ``content`` to ``path``, all of it or nothing.

    Raises:
        FileRefused: the folder is missing or may not be written, or the disk is full; an older file is untouched.
    """
    temporary: Path | None = None
    try:
        handle, name = tempfile.mkstemp(prefix=f"{MARK}{path.name}.", dir=path.parent)
        temporary = Path(name)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        temporary.chmod(path.stat().st_mode & 0o777 if path.exists() else 0o644)
        temporary.replace(path)
    except OSError as trouble:
        if temporary is not None:
            with suppress(OSError):
                temporary.unlink()
        raise FileRefused("write the file", path, _expected(trouble, len(content))) from trouble


def write_all(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Writes files by their names into a folder, which is made for them where missing; each whole, in the order given.

    A name is one name in this folder, whatever number it was made of, see :mod:`fulfil.files.names`.

    Raises:
        FileRefused: as :func:`write_whole`; files before it are written, it and those after it are as they were.
    """
    if contents:
        try:
            folder.mkdir(parents=True, exist_ok=True)
        except OSError as trouble:
            raise FileRefused("make the folder", folder, _expected(trouble, 0)) from trouble
    paths = [folder / file_name(name) for name in contents]
    for path, content in zip(paths, contents.values(), strict=True):
        write_whole(path, content)
    if paths:
        _sweep(folder, paths[-1])
    return paths


def left_in(folder: Path, beside: Path) -> list[Path]:
    """Temporary files in a folder that nobody writes any more: an hour older than a file that was just written."""
    now_s = beside.stat().st_mtime
    return [path for path in sorted(folder.glob(f"{MARK}*")) if path.lstat().st_mtime < now_s - LEFT_AFTER_S]


def _sweep(folder: Path, beside: Path) -> None:
    with suppress(OSError):
        for path in left_in(folder, beside):
            path.unlink()


def _expected(trouble: OSError, size: int) -> str:
    if trouble.errno in _NO_SPACE:
        return f"{size} bytes of free space on its disk; nothing was written, make space and try again"
    if trouble.errno == errno.ENOENT:
        return "a folder that exists"
    if trouble.errno in (errno.EEXIST, errno.ENOTDIR):
        return "a name that no file has"
    if trouble.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return "a folder that may be written"
    return f"a place that can be written ({trouble.strerror})"
