"""The examples that ``--help`` shows are typed as they stand, in an order in which a shop would."""

import shlex
from pathlib import Path

import click
import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from tests.shipping_shop import sealed_shop

TYPED = [
    ("scales", "add"), ("scales", "change"), ("scales", "retire"), ("services", "add"), ("services", "change"),
    ("services", "retire"), ("services", "map"), ("services", "bill"), ("day", "month"),
]  # fmt: skip
PLATE = ("--accuracy-class", "II", "--e-g", "0.1", "--d-g", "0.01", "--max-g", "620", "--min-g", "0.5")


def example_of(noun: str, verb: str) -> list[str]:
    """The words of the verb's example, ``fulfil`` left out."""
    group = main.get_command(click.Context(main), noun)
    assert isinstance(group, click.Group)
    words = (group.commands[verb].epilog or "").partition("Example: ")[2]
    said = shlex.split(words)
    assert said[:3] == ["fulfil", noun, verb]
    return said[1:]


def test_each_example_does_what_it_says(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a shop with the scale, the services and the bill that the examples name: each leaves with 0."""
    sealed_shop(tmp_path / "shop.db").close()
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FULFIL_SHOP", "shop.db")
    Path("march.csv").write_text("Parcel,Net EUR,Weight g\nP2603020001,7.90,150\n", encoding="utf-8")
    assert CliRunner().invoke(main, ["scales", "add", "BENCH-1", *PLATE]).exit_code == 0

    for noun, verb in TYPED:
        ran = CliRunner().invoke(main, example_of(noun, verb), catch_exceptions=False)
        assert ran.exit_code == 0, (noun, verb, ran.output)
