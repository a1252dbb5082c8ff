"""Every advice that the program prints can be carried out: the commands that it names exist, and do what it says.

What is advised is tried on a copy of the shop, so that the days of the machine go on as they would.
"""

import re
import shlex
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING

import click
from click.testing import CliRunner
from fulfil_cli.main import main

if TYPE_CHECKING:
    from tests.orders.pieces_days import PiecesDays

_OPTION = r"--[a-z][a-z-]*(?: (?:\d[\d.]*|'[^']*'))?"
_CODE = r"[A-Z][A-Z0-9.-]*\d|[A-Z]+(?=[ ,.;]|$)|\d+(?=[ ,.;]|$)"
NAMED = re.compile(rf"fulfil ([a-z]+) ([a-z]+(?:-[a-z]+)*)((?: (?:{_OPTION}|{_CODE}))*)")
REOPEN = re.compile(r"reopen ((?:P\d+(?:, )?)+)")
MOST_TRIED = 3
"""How often in one sequence the same kind of advice is tried."""


class Adviser:
    """Follows advice on a copy of the shop."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.tried: dict[str, int] = {}

    def follow(self, days: "PiecesDays", said: str) -> None:
        """Tries what a sentence advises; a command that doesn't exist, or is refused at once, fails."""
        for noun, verb, more in NAMED.findall(said):
            self._try(days, [noun, verb, *shlex.split(more)], said)
        for numbers in REOPEN.findall(said):
            for number in numbers.split(", "):
                self._try(days, ["packages", "reopen", number, "--reason", "as advised"], said)

    def _try(self, days: "PiecesDays", words: list[str], said: str) -> None:
        command = _command(words[0], words[1], said)
        kind = " ".join(words[:2])
        needed = [one for one in command.params if one.required]
        if len(words) - 2 < len(needed) or self.tried.get(kind, 0) >= MOST_TRIED:
            return
        self.tried[kind] = self.tried.get(kind, 0) + 1
        copy = self.folder / "advised.db"
        source, target = sqlite3.connect(self.folder / "harbour.db"), sqlite3.connect(copy)
        source.backup(target)
        source.close()
        target.close()
        out = ["--out", str(self.folder / "papers")] if "out" in [one.name for one in command.params] else []
        at = ["--shop", str(copy), "--at", days.now.isoformat()]
        ran = CliRunner().invoke(main, [*words, *out, *at], catch_exceptions=False)
        for path in self.folder.glob("advised.db*"):
            path.unlink()
        assert ran.exit_code in (0, 1), f"advised: {said}\n{' '.join(words)}: {ran.output}"


def _command(noun: str, verb: str, said: str) -> click.Command:
    """The command that a sentence names."""
    context = click.Context(main)
    group = main.get_command(context, noun)
    assert isinstance(group, click.Group), f"no noun '{noun}': {said}"
    command = group.get_command(context, verb)
    assert command is not None, f"no verb '{noun} {verb}': {said}"
    return command
