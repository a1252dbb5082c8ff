"""A clerk at the desk and the pack bench: every command, and every line that is scanned or typed, is counted."""

import io
from collections.abc import Iterable, Iterator
from datetime import datetime
from pathlib import Path

from click.testing import CliRunner
from fulfil_cli.main import main


class Hands(io.RawIOBase):
    """A keyboard: gives one line when one is asked for, so that a line may depend on what the bench said before."""

    def __init__(self, lines: Iterable[str]) -> None:
        super().__init__()
        self.lines: Iterator[str] = iter(lines)
        self.count = 0

    def readable(self) -> bool:
        """It is read from."""
        return True

    def readinto(self, buffer: memoryview) -> int:  # type: ignore[override]
        """The next line; nothing once there is none."""
        line = next(self.lines, None)
        if line is None:
            return 0
        self.count += 1
        said = f"{line}\n".encode()
        buffer[: len(said)] = said
        return len(said)


class Clerk:
    """Types and scans; ``commands`` and ``lines`` are what it came to."""

    def __init__(self, path: Path, at: datetime, person: str = "huia") -> None:
        self.path, self.at, self.person = path, at, person
        self.commands = 0
        self.lines = 0

    def types(self, *words: str, lines: Iterable[str] = ()) -> str:
        """A command, and what is scanned or typed while it runs."""
        self.commands += 1
        asked = ["--shop", str(self.path), "--by", self.person, "--at", self.at.isoformat()]
        hands = Hands(lines)
        ran = CliRunner().invoke(main, [*words, *asked], input=io.BufferedReader(hands))
        self.lines += hands.count
        assert ran.exit_code in (0, 1), ran.output
        return ran.output
