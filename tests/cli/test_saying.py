"""What reaches a terminal, and what happens when the program itself fails."""

import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from fulfil_cli.frame import Answer, answer_and_leave
from fulfil_cli.main import main

from fulfil.store.shop import Shop
from tests.harbour_shop import NOW, key, open_harbour

STEERING = "Ann\x1b]0;gone\x07 \u202egnp.exe\x9b2J"


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    """An order of somebody whose name steers terminals."""
    shop = open_harbour(tmp_path)
    key(shop, "ONE", ("SPRING-2", 20))
    # No record takes such a name; SQL did, or an older release.
    with closing(sqlite3.connect(shop.where)) as connection, connection:
        connection.execute("UPDATE customer_order SET name = ?", (STEERING,))
    return shop


@pytest.mark.parametrize("more", [(), ("--json",)])
def test_a_name_does_not_steer_the_terminal(shop: Shop, more: tuple[str, ...]) -> None:
    """Neither in words nor in JSON; the characters are shown by their numbers."""
    ran = CliRunner().invoke(main, ["orders", "show", "ONE", "--shop", shop.where, *more])

    assert ran.exit_code == 0
    assert not set(ran.output) & set("\x1b\x07\u202e\x9b")


def test_a_refusal_does_not_steer_it_either(shop: Shop) -> None:
    """What was typed stands in the sentence, harmless."""
    ran = CliRunner().invoke(main, ["orders", "show", STEERING, "--shop", shop.where])

    assert ran.exit_code == 2
    assert not set(ran.output) & set("\x1b\x07\u202e\x9b")
    assert "<U+001B>" in ran.output


def run(shop: Shop, *words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """The command in a process of its own."""
    command = [sys.executable, "-c", "from fulfil_cli.main import main; main()", *words, "--shop", shop.where]
    return subprocess.run(command, capture_output=True, env=os.environ | environment, check=False)


def test_a_console_without_greek_ends_no_step(shop: Shop) -> None:
    """A console of code page 1252 shows numbers instead of letters that it lacks."""
    key(shop, "TWO", ("SPRING-2", 2), name="Λάμδα Δείγμα")

    ran = run(shop, "orders", "show", "TWO", PYTHONIOENCODING="cp1252")

    assert ran.returncode == 0, ran.stderr
    assert b"\\u039b" in ran.stdout


def test_a_byte_that_is_no_text_ends_no_bench(shop: Shop) -> None:
    """A scanner sends 0xFF between two lines: the bench answers and goes on to the last one."""
    command = [sys.executable, "-c", "from fulfil_cli.main import main; main()", "bench", "check", "--shop", shop.where]
    ran = subprocess.run(
        command,
        input=b"@anna\nB\xff\xfe1\nhelp\n",
        capture_output=True,
        env=os.environ | {"PYTHONUTF8": "1"},
        check=False,
    )

    assert ran.returncode == 0, ran.stderr
    assert b"after 3 lines" in ran.stdout


def test_a_closed_pipe_is_no_fault(shop: Shop) -> None:
    """Whoever reads only the first line has changed nothing of the exit code."""
    command = f'"{sys.executable}" -c "from fulfil_cli.main import main; main()" catalogue --help | head -1'
    ran = subprocess.run(["bash", "-c", command], capture_output=True, env=os.environ, check=False)

    assert ran.returncode == 0
    assert b"Traceback" not in ran.stderr
    assert shop.where


def failing(as_json: bool) -> click.testing.Result:
    """A command that fails in the program, with a name in its message."""

    @click.command()
    def command() -> None:
        def fail() -> Answer:
            name = "Ngaio Sample, 1 Sample Quay"
            raise ZeroDivisionError(name)

        answer_and_leave(fail, as_json)

    return CliRunner().invoke(command)


@pytest.mark.parametrize("as_json", [False, True])
def test_a_fault_says_one_sentence_and_writes_a_report(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, as_json: bool
) -> None:
    """Exit code 4; the report names where it arose, and nobody."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))

    ran = failing(as_json)

    assert ran.exit_code == 4
    assert "What was confirmed before stays" in ran.output
    (report,) = tmp_path.glob("fulfil-fault-*.txt")
    said = report.read_text(encoding="utf-8")
    assert str(report) in ran.output
    assert "builtins.ZeroDivisionError" in said
    assert "test_saying.py" in said
    assert "in fail" in said
    assert "Sample" not in said + ran.output
    assert "Traceback" not in ran.output


def test_a_person_who_stops_it_is_told(shop: Shop) -> None:
    """Ctrl-C leaves with 130, without a traceback."""
    assert NOW
    assert shop.where

    @click.command()
    def command() -> None:
        def stopped() -> Answer:
            raise KeyboardInterrupt

        answer_and_leave(stopped, as_json=False)

    ran = CliRunner().invoke(command)

    assert ran.exit_code == 130
    assert "Stopped." in ran.output
