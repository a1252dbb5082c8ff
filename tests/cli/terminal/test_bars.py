"""A long step has a bar at a real terminal, and nothing of it where its output is read by a program."""

import os
import pty
import subprocess
import sys
import time
from pathlib import Path

import pytest
from fulfil_demo_catalog import station_rehearsal

from fulfil.files.catalogue import read_catalogue
from fulfil.progress import each, listened_to

PROGRAM = (
    "import sys, time; sys.path.insert(0, '.');"
    "from fulfil_cli import bars, frame; from fulfil.progress import each;"
    "bars.PATIENCE_S = float(sys.argv[1]);"
    "frame.answer_and_leave(lambda: frame.Answer([str(sum(each('counting bags', range(5))))]), False)"
)


def at_terminal(patience: str, **environment: str) -> str:
    """What stands on a terminal after the program, its escape signs included."""
    ours, theirs = pty.openpty()
    asked = [sys.executable, "-c", PROGRAM, patience]
    with subprocess.Popen(
        asked, stdout=subprocess.PIPE, stderr=theirs, cwd=Path(__file__).parents[2], env=os.environ | environment
    ) as going:
        os.close(theirs)
        assert going.communicate(timeout=120)[0].strip() == b"10"
    seen = b""
    deadline = time.monotonic() + 10
    while time.monotonic() < deadline:
        try:
            more = os.read(ours, 4096)
        except OSError:  # the other side is closed, and all is read
            break
        if not more:
            break
        seen += more
    os.close(ours)
    return seen.decode()


def test_a_bar_after_a_while_at_a_terminal_only() -> None:
    """The answer stands on the standard output, alone."""
    assert "counting bags" in at_terminal("0")
    assert "5/5" in at_terminal("0")
    assert at_terminal("100") == ""
    assert at_terminal("0", TERM="dumb") == ""


def test_nothing_where_the_output_is_read_by_a_program() -> None:
    """Neither on the one output nor on the other."""
    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM, "0"], capture_output=True, check=False, cwd=Path(__file__).parents[2]
    )
    assert (ran.stdout.strip(), ran.stderr) == (b"10", b"")


def test_a_catalogue_says_how_far_it_is() -> None:
    """Its two long files, row by row."""
    heard = []
    with listened_to(lambda *said: heard.append(said)):
        read_catalogue(Path(__file__).parents[2] / "files" / "tiny_catalogue")

    whats = list(dict.fromkeys(what for what, _, _ in heard))
    ends = {what: (done, of) for what, done, of in heard}
    assert whats == ["reading parts", "reading bins"]
    assert all(done == of > 0 for done, of in ends.values())


def test_a_rehearsal_says_how_far_it_is(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Step by step, from nothing to all; what the steps do is tested elsewhere."""
    for step in ("import_catalogue", "import_orders", "plan_day", "release_walks", "let_in"):
        monkeypatch.setattr(station_rehearsal, step, lambda *_, **__: None)
    heard = []
    with listened_to(lambda *said: heard.append(said)):
        station_rehearsal.prepare(tmp_path, tmp_path / "out", {}, salt=bytes)

    assert [done for _, done, _ in heard] == [0, 1, 2, 3, 4, 5]
    assert {(what, of) for what, _, of in heard} == {("the rehearsal's shop", 5)}


def test_who_listens_hears_each_and_nobody_else_does() -> None:
    """Also when the step ends in the middle."""
    heard = []

    def divided() -> list[int]:
        with listened_to(lambda *said: heard.append(said)):
            return [1 // one for one in each("x", [1, 0])]

    with pytest.raises(ZeroDivisionError):
        divided()
    assert heard == [("x", 0, 2), ("x", 1, 2)]
    assert list(each("x", [1])) == [1]
    assert len(heard) == 2
