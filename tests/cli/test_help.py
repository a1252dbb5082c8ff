"""Every command explains itself with an example, and leaves with the exit code that it promises."""

import json

import click
import pytest
from click.testing import CliRunner
from fulfil_cli.main import NOUNS, main

import fulfil


def verbs(noun: str) -> list[str]:
    """The verbs of a noun; one empty verb for a noun that is a command itself."""
    found = main.get_command(click.Context(main), noun)
    return sorted(found.commands) if isinstance(found, click.Group) else [""]


COMMANDS = [(noun, verb) for noun in sorted(NOUNS) for verb in verbs(noun)]


@pytest.mark.parametrize(("noun", "verb"), COMMANDS)
def test_every_command_has_an_example(noun, verb):
    """`--help` shows how the command is typed."""
    shown = CliRunner().invoke(main, [word for word in (noun, verb, "--help") if word])

    assert shown.exit_code == 0
    assert f"Example: fulfil {' '.join(word for word in (noun, verb) if word)}" in " ".join(shown.output.split())
    assert "--json" in shown.output


def test_an_unknown_noun_is_wrong_use():
    """Exit code 2."""
    assert CliRunner().invoke(main, ["nothing"]).exit_code == 2


def test_a_noun_that_is_spelled_wrongly_is_answered_with_the_right_one():
    """Verbs and options likewise."""
    for words, meant in (("ordrs list", "orders"), ("orders lst", "list"), ("walks plan --sed 1", "--seed")):
        ran = CliRunner().invoke(main, words.split())
        assert ran.exit_code == 2
        assert "Did you mean" in ran.stderr
        assert meant in ran.stderr.partition("Did you mean")[2]


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_is_there_for_each_shell(shell, monkeypatch):
    """The script that the page tells of, and what it is answered: nouns, verbs, options."""
    monkeypatch.setenv("_FULFIL_COMPLETE", f"{shell}_source")
    assert "_FULFIL_COMPLETE" in CliRunner().invoke(main, [], prog_name="fulfil").output
    monkeypatch.setenv("_FULFIL_COMPLETE", f"{shell}_complete")
    for typed, last, meant in (("fulfil or", "or", "orders"), ("fulfil walks pl", "pl", "plan"),
                               ("fulfil walks plan --dr", "--dr", "--dry-run")):  # fmt: skip
        monkeypatch.setenv("COMP_WORDS", typed)
        monkeypatch.setenv("COMP_CWORD", last if shell == "fish" else str(len(typed.split()) - 1))
        assert meant in CliRunner().invoke(main, [], prog_name="fulfil").output


def test_without_a_shop_the_store_can_t_be_used(monkeypatch):
    """Exit code 3, and a sentence that says what to give."""
    monkeypatch.delenv("FULFIL_SHOP", raising=False)

    ran = CliRunner().invoke(main, ["walks", "list"])

    assert ran.exit_code == 3
    assert "--shop PATH, or the path in FULFIL_SHOP" in ran.stderr


def test_a_refusal_for_programs_is_json(tmp_path):
    """`--json` answers with the kind, the sentence and the value, still with the exit code."""
    missing = str(tmp_path / "none.sqlite")

    ran = CliRunner().invoke(main, ["walks", "list", "--shop", missing, "--json"])

    assert ran.exit_code == 3
    assert json.loads(ran.stdout)["refused"]["kind"] == "StoreRefused"


def test_every_answer_for_programs_has_one_envelope(tmp_path):
    """An answer, and a refusal: shape, version, command, exit code under one key, the facts beside it."""
    shop = str(tmp_path / "shop.sqlite")

    def told(*words):
        return json.loads(CliRunner().invoke(main, [*words, "--shop", shop, "--json"], prog_name="fulfil").stdout)

    made, listed, refused = told("shop", "create"), told("walks", "list"), told("walks", "show", "W1")

    assert made["fulfil"] == {"shape": 1, "version": fulfil.__version__, "command": "shop create", "exit_code": 0}
    assert (listed["fulfil"]["command"], listed["walks"]) == ("walks list", [])
    assert (refused["fulfil"]["command"], refused["fulfil"]["exit_code"]) == ("walks show", 2)
    assert refused["refused"]["kind"] == "UnknownRefused"
