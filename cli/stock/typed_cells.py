"""Options that are the columns of a catalogue's file, and the answer of a verb that adds or changes one row by them."""

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Protocol

import click

from ..frame import Answer, listed, table

if TYPE_CHECKING:
    from sqlmodel import SQLModel

    from fulfil.records.finding import Finding


class Changed(Protocol):
    """What a step says that added or changed one row."""

    @property
    def findings(self) -> "tuple[Finding, ...]":
        """What is wrong; then nothing was changed."""

    @property
    def differences(self) -> tuple[tuple[str, tuple[str, str]], ...]:
        """Cells before and now, by column."""

    @property
    def tells(self) -> tuple[str, ...]:
        """Whom to tell."""


def cells_options(cells: Mapping[str, str]) -> Callable[[Callable[..., Answer]], Callable[..., Answer]]:
    """One option a column, each with what it is."""

    def options(verb: Callable[..., Answer]) -> Callable[..., Answer]:
        for name, says in reversed([*cells.items()]):
            verb = click.option(f"--{name.replace('_', '-')}", name, default=None, help=says)(verb)
        return verb

    return options


def given(cells: Mapping[str, str | None]) -> dict[str, str]:
    """The cells that were typed."""
    return {name: cell for name, cell in cells.items() if cell is not None}


def changed_answer(
    done: Changed, record: "SQLModel | None", noun: str, key: str, said: str, does: str, notes: tuple[str, ...] = ()
) -> Answer:
    """What the verb did; ``does`` is *added*, *changed* or *retired*, ``key`` the name of the number in the facts."""
    facts: dict[str, Any] = {
        noun: None if record is None else record.model_dump(mode="json"),
        "changed": {name: {"before": before, "now": now} for name, (before, now) in done.differences},
        "tells": list(done.tells),
        "notes": list(notes),
        "findings": [finding.as_dict() for finding in done.findings],
    }
    what = f"{noun.capitalize()} {said}"
    if done.findings:
        lines = [f"{what} was not {does}:", *listed(done.findings)]
        return Answer(lines, {**facts, key: said}, must_act=True)
    says = {"added": f"{what} is in the shop.", "changed": f"{what} is changed.", "retired": f"{what} is retired."}[
        does
    ]
    rows = [(name, before, now) for name, (before, now) in done.differences]
    lines = [says if rows else f"{what} stays as it was."]
    lines += table(rows, ("column", "before", "now")) if rows else []
    lines += [*done.tells, *[f"Note: {note}." for note in notes]]
    return Answer(lines, facts, must_act=bool(done.tells))
