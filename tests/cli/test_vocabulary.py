"""One vocabulary of options: what several nouns call alike means one thing; the table in DEVELOPERS.md says which."""

import re
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

import click
from fulfil_cli.main import NOUNS, main

DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"
COMMON = {"--shop", "--by", "--at", "--json", "--help"}


def options() -> Iterator[tuple[str, str, click.Option]]:
    """Every option of every command, with its noun and verb."""
    context = click.Context(main)
    for noun in NOUNS:
        found = main.get_command(context, noun)
        verbs = found.commands.items() if isinstance(found, click.Group) else [("", found)]
        for verb, one in verbs:
            assert one is not None
            for param in one.params:
                if isinstance(param, click.Option):
                    yield noun, f"{noun} {verb}".strip(), param


def table() -> dict[str, str]:
    """Each option of the table, with what it takes."""
    text = DEVELOPERS.read_text("utf-8").partition("## One vocabulary of options")[2].partition("\n## ")[0]
    rows = [
        [cell.strip() for cell in line.strip("|").split("|")] for line in text.splitlines() if line.startswith("| `")
    ]
    return {name: takes for names, _, takes in rows for name in re.findall(r"`(--[\w-]+)`", names)}


def test_what_several_nouns_share_is_in_the_table_and_nothing_else() -> None:
    """So that a new option of an old name is looked at, and a name that went is taken out."""
    nouns = defaultdict(set)
    for noun, _, option in options():
        nouns[option.opts[-1]].add(noun)

    shared = {name for name, found in nouns.items() if len(found) > 1}

    assert set(table()) == shared - COMMON


def test_every_command_has_the_common_options() -> None:
    """But the demo, which makes its own shop, and the doctor, who reads and never writes."""
    names = defaultdict(set)
    for _, words, option in options():
        names[words] |= {*option.opts}

    assert [words for words, found in names.items() if not found >= {"--shop", "--by", "--at", "--json"}] == [
        "demo",
        "doctor",
    ]


def test_a_name_is_a_flag_everywhere_or_nowhere() -> None:
    """Nobody has to try whether a value follows."""
    kinds = defaultdict(set)
    for _, _, option in options():
        kinds[option.opts[-1]].add(option.is_flag)

    assert {name for name, found in kinds.items() if len(found) > 1} == set()
    flags = {name for name, found in kinds.items() if found == {True}}
    assert {name for name, takes in table().items() if takes == "–"} == flags & set(table())


def test_a_name_takes_one_sort_of_thing() -> None:
    """A path, a word out of a list, or a number or text: of one option the same in every command."""
    sorts: dict[str, set[str]] = defaultdict(set)
    for _, _, option in options():
        is_pair = ":" in (option.metavar or "") or "=" in (option.metavar or "")
        is_file = isinstance(option.type, click.Path | click.File)
        is_day = isinstance(option.type, click.DateTime)
        sorts[option.opts[-1]].add("pair" if is_pair else "file" if is_file else "day" if is_day else "one")

    assert {name: found for name, found in sorts.items() if len(found) > 1} == {}


def test_every_option_says_what_it_is() -> None:
    """A short sentence, for whoever asks `--help`."""
    assert [(words, option.opts[-1]) for _, words, option in options() if not option.help] == []
