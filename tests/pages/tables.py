"""Parts of pages that are made from the code, as Markdown: columns of files, commands, the reference, the sources."""

from collections.abc import Iterator, Sequence
from importlib import import_module
from typing import Any

import click
from fulfil_cli.main import NOUNS, main

from tests.pages.sources import Source, elsewhere, published
from tests.pages.stage import ROOT

SHARED = frozenset({"shop", "as_json", "at", "person"})


def rows(heads: Sequence[str], cells: Sequence[Sequence[object]]) -> str:
    """A table."""
    lines = [heads, ["---"] * len(heads), *cells]
    return "\n".join("| " + " | ".join(str(cell).replace("|", "\\|") for cell in line) + " |" for line in lines) + "\n"


def columns() -> str:
    """Every file of a catalogue, and of orders, with its columns, by the readers' own lists."""
    from fulfil.files.catalogue import FILES
    from fulfil.files.columns import Column
    from fulfil.files.orders_given import LINE, ORDER

    def described(file: str, of: Sequence[Column]) -> str:
        cells = [
            (f"`{one.name}`", "yes" if one.is_needed else "no", _said(one.read.__doc__), f"`{one.field}`") for one in of
        ]
        return f"## {file}\n\n{rows(('column', 'needed', 'a cell holds', 'field of the record'), cells)}"

    files = {**FILES, "orders.csv": (*ORDER, *LINE)}
    return "\n".join(described(file, of) for file, of in files.items() if of)


def _said(docstring: str | None) -> str:
    """The first sentence of what a reader says of itself."""
    said = (docstring or "").strip().partition("\n\n")[0].replace("\n", " ").replace("``", "`")
    return " ".join(said.split()).rstrip(".")


def frames() -> str:
    """Every frame of ``fulfil.read_shop`` with its columns."""
    from dataclasses import fields

    import fulfil

    found = []
    for one in fields(fulfil.ShopFrames):
        cells = [(f"`{line.partition('  ')[0]}`", line.partition("  ")[2]) for line in described(one.name)]
        found.append(f"## {one.name}\n\n{rows(('column', 'holds'), cells)}")
    return "\n".join(found)


def schema() -> str:
    """Every view for analysts, then every table with its columns as the database has them."""
    from fulfil.store.safe.analysts import KINDS, view_name
    from fulfil.store.tables import all_tables, table_of

    views = [
        (f"`{view_name(name)}`", f"`{table_of(kind).name}`", ", ".join(f"`{one}`" for one in key) or "–")
        for name, (kind, key) in KINDS.items()
    ]
    found = ["## Views\n", rows(("view", "of the table", "key"), views), "## Tables\n"]
    for name, table in sorted(all_tables().tables.items()):
        cells = [
            (
                f"`{one.name}`",
                _kept_as(one),
                "key" if one.primary_key else "",
                ", ".join(f"`{key.column.table.name}`" for key in one.foreign_keys),
            )
            for one in table.columns
        ]
        found.append(f"### {name}\n\n{rows(('column', 'kept as', 'key', 'points to'), cells)}")
    return "\n".join(found)


def _kept_as(column: Any) -> str:
    """What a column holds in the database."""
    from fulfil.store.columns import Micrograms, Moment, Word

    kinds = {Micrograms: "whole micrograms", Moment: "time in UTC"}
    said = next((words for kind, words in kinds.items() if isinstance(column.type, kind)), "")
    if isinstance(column.type, Word):
        said = "one of: " + ", ".join(one.value for one in column.type.words)
    return (said or str(column.type).lower()) + (", or nothing" if column.nullable else "")


def described(name: str) -> list[str]:
    """A frame's columns, a line each."""
    import fulfil

    return fulfil.columns_of(name).splitlines()


def verbs() -> Iterator[tuple[str, click.Command]]:
    """Every command by its words, nouns and verbs sorted."""
    context = click.Context(main)
    for noun in sorted(NOUNS):
        found = main.get_command(context, noun)
        if isinstance(found, click.Group):
            for verb, one in sorted(found.commands.items()):
                yield f"{noun} {verb}", one
        elif found is not None:
            yield noun, found


def commands() -> str:
    """Every command with its arguments, options and example."""
    found, noun = [], ""
    for words, one in verbs():
        if words.split()[0] != noun:
            noun = words.split()[0]
            found.append(f"## {noun}\n\n{NOUNS[noun]}\n")
        usage = " ".join(
            param.make_metavar(click.Context(one)) for param in one.params if isinstance(param, click.Argument)
        )
        options = [param for param in one.params if isinstance(param, click.Option) and param.name not in SHARED]
        cells = [(" ".join(f"`{name}`" for name in option.opts), option.help or "") for option in options]
        listed = "\n" + rows(("option", "says"), cells) if cells else ""
        example = (one.epilog or "").removeprefix("Example: ")
        typed = f"fulfil {words} {usage}".strip()
        found.append(f"### {words}\n\n`{typed}`\n\n{_first(one.help)}\n\n```\n{example}\n```\n{listed}")
    return "\n".join(found)


def _first(text: str | None) -> str:
    return " ".join((text or "").partition("\n\n")[0].split())


def modules(folder: str) -> str:
    """The reference of every module of a folder: its first lines, its functions and classes."""
    path = ROOT.joinpath(*folder.split("."))
    names = [f"{folder}.{one.stem}" for one in sorted(path.glob("*.py")) if one.stem != "__init__"]
    return "\n".join(_reference(name) for name in names)


def _reference(name: str) -> str:
    import_module(name)
    short = name.rpartition(".")[2]
    return f"## {short}\n\n```{{eval-rst}}\n.. automodule:: {name}\n   :members:\n```\n"


def sources() -> str:
    """Every outside source: what is checked against it, by which clause, in which test."""
    found = [_proven(one) for one in published()]
    cells = [(f"`{one.path}`", f"`{test}`", says) for one in elsewhere() for test, says in one.tests]
    return "\n".join([*found, "### Beside the code\n", rows(("tests", "test", "says"), cells)])


def _proven(one: Source) -> str:
    cells = [(f"`{test}`", says) for test, says in one.tests]
    named = "\n\n".join(one.named)
    return f"### {one.title}\n\n{named}\n\n`{one.path}`\n\n{rows(('test', 'shows'), cells)}"
