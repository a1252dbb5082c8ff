"""What a person set once on this computer needn't be typed; what is typed, or in the environment, comes first."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

Typed = Callable[..., tuple[int, str]]


@pytest.fixture
def typed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Typed:
    """Types a command in an empty folder, with a settings file of its own."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("FULFIL_SETTINGS", str(tmp_path / "own" / "settings.toml"))
    for name in ("FULFIL_SHOP", "FULFIL_PERSON"):
        monkeypatch.delenv(name, raising=False)

    def type_(*words: str) -> tuple[int, str]:
        ran = CliRunner().invoke(main, words, prog_name="fulfil")
        return ran.exit_code, ran.output

    return type_


def test_a_shop_and_a_person_are_set_once(typed: Typed, tmp_path: Path) -> None:
    """Then every command goes by them, and what it writes down names the person."""
    assert typed("walks", "list")[0] == 3
    assert typed("settings", "set", "shop", "my shop.sqlite")[0] == 0
    assert typed("settings", "set", "person", 'Zofie "Z"')[0] == 0
    assert (tmp_path / "own" / "settings.toml").read_text("utf-8") == (
        'person = "Zofie \\"Z\\""\nshop = "my shop.sqlite"\n'
    )

    assert typed("shop", "create")[0] == 0
    code, said = typed("people", "add", "ben", "--role", "check", "--pin", "7391")
    assert code == 0, said

    assert (tmp_path / "my shop.sqlite").exists()
    assert "Zofie" in typed("journal", "show")[1]


def test_what_is_typed_comes_first_then_the_environment(typed: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    """The file last; `show` says which it was."""
    typed("settings", "set", "shop", "a.sqlite")
    assert typed("shop", "create", "--shop", "b.sqlite")[1].startswith("Shop b.sqlite")
    monkeypatch.setenv("FULFIL_SHOP", "c.sqlite")
    assert typed("shop", "create")[1].startswith("Shop c.sqlite")

    shown = json.loads(typed("settings", "show", "--json")[1])["settings"]
    assert shown["shop"] == {"value": "c.sqlite", "from": "FULFIL_SHOP"}
    assert shown["person"] == {"value": "–", "from": "not set"}


def test_papers_go_where_is_set_and_pictures_stay_where_their_command_says(typed: Typed, tmp_path: Path) -> None:
    """A folder for papers is no name for a file."""
    typed("settings", "set", "out", "printed")
    typed("shop", "create", "--shop", "a.sqlite")

    assert typed("papers", "sample", "--paper", "A4")[0] == 0
    assert typed("papers", "calibrate")[0] == 0

    assert list((tmp_path / "printed").glob("*.pdf"))
    assert (tmp_path / "calibration.pdf").is_file()


def test_an_empty_value_takes_a_setting_out(typed: Typed, tmp_path: Path) -> None:
    """The others stay."""
    typed("settings", "set", "shop", "a.sqlite")
    typed("settings", "set", "person", "mara")
    assert "person is not set any more" in typed("settings", "set", "person", "")[1]
    assert (tmp_path / "own" / "settings.toml").read_text("utf-8") == 'shop = "a.sqlite"\n'


@pytest.mark.parametrize("text", ["shop = [", "shop = 5", 'colour = "red"', "\udcff"])
def test_a_file_that_is_none_is_one_sentence(text: str, typed: Typed, tmp_path: Path) -> None:
    """Wrong use, by name; nothing is guessed."""
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "settings.toml").write_bytes(text.encode("utf-8", "surrogateescape"))

    code, said = typed("walks", "list")

    assert code == 2
    assert said.startswith("Cannot read the settings")
    assert len(said.splitlines()) == 1


def test_each_setting_is_explained(typed: Typed) -> None:
    """With the option and the environment's name that come before it."""
    said = typed("settings", "explain")[1]

    for word in ("--shop", "FULFIL_SHOP", "--by", "FULFIL_PERSON", "--out", "settings.toml", "settings.csv"):
        assert word in said
