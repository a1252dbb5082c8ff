"""The bench's commands: cards, slips, mistakes, free, picked, packages reopened; each with its exit code."""

import json

import pytest
from click.testing import CliRunner
from fulfil_cli.bench.big_words import big
from fulfil_cli.main import main

from tests.bench_shop import AT, bench_shop

SAID_AT = AT.isoformat()


@pytest.fixture
def shop(tmp_path):
    """One order of four bags."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path, orders=1)
    return path


def run(shop, *words, lines=""):
    """One command on the shop."""
    return CliRunner().invoke(main, [*words, "--shop", str(shop), "--at", SAID_AT], input=lines)


def test_cards_and_badges_are_printed(shop, tmp_path):
    """Two files; a badge without a name is wrong use."""
    out = tmp_path / "papers"

    ran = run(shop, "bench", "cards", "--out", str(out), "--badge", "anna")

    assert ran.exit_code == 0
    assert sorted(path.name for path in out.iterdir()) == ["badges.pdf", "bench-cards.pdf"]
    assert run(shop, "bench", "cards", "--out", str(out), "--badge", " ").exit_code == 2


def test_a_bench_in_a_pipe_prints_slips_and_ends_with_its_input(shop, tmp_path):
    """A bag that goes back has its slip printed at once; the mistakes report has it."""
    lines = "B2603020003\n1.00\nleave\n"

    ran = run(shop, "bench", "check", "--by", "anna", "--plain", "--frozen-time", "--slips", str(tmp_path), lines=lines)

    assert ran.exit_code == 0
    assert "RECOUNT:" in ran.output
    assert (tmp_path / "R2603020001-recount-slips.pdf").exists()
    assert run(shop, "bench", "slips", "--out", str(tmp_path), "R2603020001").exit_code == 0
    assert run(shop, "bench", "slips", "R2603029999", "--out", str(tmp_path)).exit_code == 2
    told = run(shop, "bench", "mistakes", "--json")
    assert (json.loads(told.stdout)["bags_checked"], json.loads(told.stdout)["bags_sent_back"]) == (1, 1)
    assert "1 of 1 bags checked were sent back." in run(shop, "bench", "mistakes").output
    assert run(shop, "bench", "mistakes", "--since", "yesterday").exit_code == 2


def test_an_order_is_freed_and_a_picker_noted(shop):
    """What a bench left in hand; who picked the walk; the picker is refused as a checker."""
    run(shop, "bench", "check", "--by", "anna", "--plain", lines="B2603020003\n")

    assert "it was at check-1" in run(shop, "bench", "free", "O-1001", "--reason", "gone home").output
    assert run(shop, "bench", "free", "O-1001", "--reason", "gone home").exit_code == 2
    assert run(shop, "bench", "picked", "W2603020001", "--by", "anna").exit_code == 0
    again = run(shop, "bench", "check", "--by", "anna", "--plain", lines="B2603020003\n")
    assert "anna picked it" in again.output


def test_sampling_states_what_it_lets_out(shop):
    """Before the first line."""
    ran = run(shop, "bench", "check", "--plain", "--one-in", "5", lines="leave\n")

    assert "If 1.00% come in wrong, 0.63% go out wrong, at worst 0.85% whatever comes in." in ran.output


def test_a_scale_that_isn_t_there_is_wrong_use(shop):
    """The port is named, nothing starts; so is a pattern that can't read."""
    assert "/dev/none" in run(shop, "bench", "check", "--port", "/dev/none").stderr
    assert run(shop, "bench", "check", "--line-pattern", "(").exit_code == 2


def test_bags_undo_and_packages_reopen(shop):
    """By command, without a bench."""
    assert run(shop, "bags", "check", "B2603020003", "--gross", "1.00").exit_code == 1
    assert run(shop, "bags", "undo", "B2603020003").exit_code == 0
    assert run(shop, "bags", "undo", "B2603020003").exit_code == 2
    assert run(shop, "packages", "reopen", "P-1", "--reason", "why").exit_code == 2


@pytest.mark.parametrize("word", ["PASSED", "RECOUNT", "LOOK", "STOP", "SEALED"])
def test_every_verdict_has_large_letters(word):
    """Five lines of plain characters, no wider than a small terminal."""
    assert len(big(word)) == 5
    assert max(len(line) for line in big(word)) <= 60
    assert big("Ä") == ["Ä"]
