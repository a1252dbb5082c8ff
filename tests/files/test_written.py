"""Files are written whole or not at all."""

import errno
import os
import resource
import signal
from pathlib import Path

import pytest

from fulfil.errors import FileRefused
from fulfil.files.written import write_all, write_whole


def test_new_and_replaced(tmp_path: Path) -> None:
    """A file is written under its name only, with the rights of a file that was there before."""
    path = tmp_path / "plan.pdf"
    write_whole(path, b"first")
    path.chmod(0o600)
    write_whole(path, b"second")

    assert path.read_bytes() == b"second"
    assert path.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [path]


def test_file_larger_than_allowed(tmp_path: Path) -> None:
    """When the system takes no more bytes, the older file is whole and no temporary one is left."""
    path = tmp_path / "plan.pdf"
    write_whole(path, b"first")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, before[1]))
    try:
        with pytest.raises(FileRefused) as refused:
            write_whole(path, b"x" * 200_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, ignored)

    assert str(refused.value) == (
        f"Cannot write the file '{path}': expected 200000 bytes of free space on its disk; "
        "nothing was written, make space and try again."
    )
    assert path.read_bytes() == b"first"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize(
    ("number", "expected"),
    [
        (errno.ENOSPC, "5 bytes of free space on its disk; nothing was written, make space and try again"),
        (errno.EDQUOT, "5 bytes of free space on its disk; nothing was written, make space and try again"),
        (errno.EROFS, "a folder that may be written"),
        (errno.EIO, "a place that can be written (Input/output error)"),
    ],
)
def test_trouble_on_the_way_to_the_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, expected: str
) -> None:
    """Trouble that shows only when the bytes reach the disk leaves nothing behind."""

    def trouble(_: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", trouble)
    with pytest.raises(FileRefused) as refused:
        write_whole(tmp_path / "plan.pdf", b"plan!")

    assert refused.value.expected == expected
    assert list(tmp_path.iterdir()) == []


def test_no_folder(tmp_path: Path) -> None:
    """A folder that isn't there is refused."""
    with pytest.raises(FileRefused, match="expected a folder that exists"):
        write_whole(tmp_path / "none" / "plan.pdf", b"plan")


def test_what_a_killed_program_left_is_swept(tmp_path: Path) -> None:
    """A temporary file of an hour ago goes; a young one may be in the making, others are not ours."""
    names = {".fulfil.walk.pdf.k1l2m3n4": 3700, ".fulfil.walk.pdf.a1b2c3d4": 60, ".walk.pdf.x": 9000, ".fulfil": 9000}
    (first,) = write_all(tmp_path, {"first.pdf": b"%PDF"})
    for name, age_s in names.items():
        (tmp_path / name).write_bytes(b"half")
        os.utime(tmp_path / name, (first.stat().st_mtime - age_s,) * 2)

    write_all(tmp_path, {"second.pdf": b"%PDF"})

    kept = {".fulfil.walk.pdf.a1b2c3d4", ".walk.pdf.x", ".fulfil", "first.pdf", "second.pdf"}
    assert {path.name for path in tmp_path.iterdir()} == kept
