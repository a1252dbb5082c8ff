"""Whatever is typed, a command answers or refuses in words: no traceback, no code but 0 to 3."""

import random
from pathlib import Path

import click
import pytest
import uvicorn
from click.testing import CliRunner
from fulfil_cli.main import NOUNS, main

from tests.bench_shop import bench_shop

OF_EVERY_COMMAND = {"shop", "as_json", "at", "person", "help"}
ELSEWHERE = {("bench", "check"), ("bench", "pack"), ("stations", "rehearse")}
"""Verbs that need a terminal, or run a whole day first."""
TYPED = (
    "", "0", "-1", "3", "12.5", "0,5", "1:2", "1:-5", "nan", "1e400", "9" * 20, "x" * 300, "=1+1", "é\N{CRAB}",
    "2026-02-30", "25:00", "EUR", "XX", "200x100x50", "0x0x0", "order=Nr", "/nonexistent/x", "/", "a reason",
    "O-1001", "B2603020003", "W2603020001", "P2603020001", "M2603020001", "J2603020001", "SCR-0024", "FINE", "PACK",
)  # fmt: skip


def verbs() -> list[tuple[str, str]]:
    """All verbs of all nouns but a few."""
    context = click.Context(main)
    nouns = ((noun, main.get_command(context, noun)) for noun in sorted(NOUNS))
    groups = ((noun, group) for noun, group in nouns if isinstance(group, click.Group))
    return [(noun, verb) for noun, group in groups for verb in sorted(group.commands) if (noun, verb) not in ELSEWHERE]


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Path:
    """Three orders of four bags."""
    path = tmp_path_factory.mktemp("nonsense") / "shop.sqlite"
    bench_shop(path)
    return path


def words_of(command: click.Command, chance: random.Random, out: Path) -> list[str]:
    """Every argument, the needed options and some of the others, filled with anything."""
    words: list[str] = []
    for param in command.params:
        if param.name in OF_EVERY_COMMAND:
            continue
        if isinstance(param, click.Argument):
            words += chance.choices(TYPED, k=1 if param.nargs == 1 else chance.randint(0, 2))
        elif param.required or chance.random() < 0.4:
            words.append(param.opts[-1])
            if param.name in ("out", "rejects"):
                words.append(str(out))
            elif not getattr(param, "is_flag", False):
                choices = param.type.choices if isinstance(param.type, click.Choice) else TYPED
                words += [str(one) for one in chance.choices(choices, k=param.nargs)]
    return words


@pytest.mark.parametrize("verb", verbs(), ids=" ".join)
def test_nonsense_is_answered_in_words(verb: tuple[str, str], shop: Path, tmp_path: Path, monkeypatch) -> None:
    """Eight lines of nonsense to every verb, the same on every run."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(uvicorn, "run", lambda *_, **__: None)  # it would serve until somebody comes
    group = main.get_command(click.Context(main), verb[0])
    assert isinstance(group, click.Group)
    for seed in range(8):
        words = words_of(group.commands[verb[1]], random.Random(f"{seed} {verb}"), tmp_path / "out")
        given = [*verb, *words, "--shop", str(shop), "--at", "2026-03-02T10:00+00:00"]
        ran = CliRunner().invoke(main, given, input="y\n" * 20)
        assert ran.exception is None or isinstance(ran.exception, SystemExit), (given, ran.exception)
        assert ran.exit_code in (0, 1, 2, 3), given
