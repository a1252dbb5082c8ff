"""A stage: a folder with a shop, in which the commands of one page are typed one after the other.

Commands are typed as they stand, at the time that the block names (``at``); lines that begin with ``>`` are typed into
the command above them. ``demo_catalog`` lies in the folder, as in the tree. Nothing of a block is taken on trust: each
command must leave with 0 (done) or 1 (the shop must act), or with what the block names (``leaves``), and what a page
says that it says (``says``) must be there.
"""

import os
import shlex
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from shutil import copyfile
from tempfile import mkdtemp

from click.testing import CliRunner
from fulfil_cli.main import main

ROOT = Path(__file__).parents[2]
MORNING = "2026-03-02T08:00+00:00"
SHOP = "my-shop.sqlite"


class WrongPage(Exception):
    """A page says what isn't so."""


@dataclass
class Said:
    """A command as typed, and what came of it."""

    typed: str
    output: str


@dataclass
class Stage:
    """One page's folder, with what was exported in it."""

    folder: Path
    exported: dict[str, str] = field(default_factory=dict)

    def type(self, lines: Sequence[str], *, at: str = MORNING, leaves: Sequence[int] = (0, 1)) -> list[Said]:
        """Types a block.

        Raises:
            WrongPage: a command left with another code, or isn't ours.
        """
        said = []
        for typed, entered in commands(lines):
            words = shlex.split(typed, comments=True)
            if words[0] == "export":
                self.exported |= dict(word.split("=", 1) for word in words[1:])
                said.append(Said(typed, ""))
                continue
            if words[0] != "fulfil":
                raise WrongPage(f"'{typed}' is no command of ours")
            timed = [] if "--at" in words or words[1] == "demo" else ["--at", at]
            with in_folder(self.folder):
                ran = CliRunner().invoke(
                    main, [*words[1:], *timed], env=self.exported, input=entered or None, prog_name="fulfil"
                )
            if ran.exit_code not in leaves:
                raise WrongPage(f"'{typed}' left with {ran.exit_code}: {ran.output}{ran.exception or ''}")
            said.append(Said(f"{typed}\n{entered}".rstrip(), ran.output))
        return said


def commands(lines: Sequence[str]) -> Iterator[tuple[str, str]]:
    """Each command of a block, and what is typed into it."""
    found: list[tuple[str, str]] = []
    for line in lines:
        if line.startswith(">") and found:
            command, entered = found[-1]
            found[-1] = (command, f"{entered}{line.removeprefix('>').strip()}\n")
        elif line.strip():
            found.append((line, ""))
    yield from found


@contextmanager
def in_folder(folder: Path) -> Iterator[None]:
    """There, and back."""
    before = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(before)


@cache
def demo_shop() -> Path:
    """The demo shop with its catalogue and its three telephone orders, made once."""
    stage = bare_stage()
    stage.type([
        "fulfil shop create",
        "fulfil catalogue import demo_catalog",
        "fulfil orders import demo_catalog/orders_phone.json",
    ])  # fmt: skip
    return stage.folder / SHOP


def bare_stage() -> Stage:
    """A folder without a shop."""
    folder = Path(mkdtemp(prefix="fulfil-page-"))
    (folder / "demo_catalog").symlink_to(ROOT / "demo_catalog")
    return Stage(folder, {"FULFIL_SHOP": SHOP, "FULFIL_PERSON": "mara"})


def demo_stage() -> Stage:
    """A folder with a copy of the demo shop."""
    stage = bare_stage()
    copyfile(demo_shop(), stage.folder / SHOP)
    return stage
