"""``fulfil bins add``, ``change``, ``retire``: one bin by itself, by the rules of ``bins.csv``."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import click

from ..frame import Answer, Ask, command, listed, table
from ..numbers import BIN
from .bins import bins

if TYPE_CHECKING:
    from fulfil.stock.bin_changes import BinChanged

CELLS = {
    "aisle": "Name of an aisle (or passage) of the room.",
    "side": "left or right, seen from the front.",
    "section": "Counted from the front.",
    "level": "1 is lowest.",
    "y_mm": "The bin's middle from the front of the room, in mm.",
    "part": "The part in it.",
    "lot": "The lot in it.",
}
"""The columns of ``bins.csv`` that can be typed, each with what it is; ``pieces`` only for a new bin."""


def _cells(verb: Callable[..., Answer]) -> Callable[..., Answer]:
    for name, says in reversed(CELLS.items()):
        verb = click.option(f"--{name.replace('_', '-')}", name, default=None, help=says)(verb)
    return verb


@command(
    bins,
    "add",
    "fulfil bins add 2R-10-1 --aisle 2 --side right --section 10 --level 1 --y-mm 5700 --part BUSH-4 --pieces 120",
)
@click.argument("code")
@_cells
@click.option("--pieces", default=None, help="Its opening count; else 0.")
def add(ask: Ask, code: str, **given: str | None) -> Answer:
    """Adds one bin and books its opening count; every option is the column of that name in bins.csv."""
    from fulfil.stock.bin_changes import add_bin

    with ask.shop() as shop:
        done = add_bin(shop, code, _given(given), at=ask.at, person=ask.person)
    return _answer(done, code, f"Bin {code} was not added:", f"Bin {code} is in the shop.")


@command(bins, "change", "fulfil bins change 2R-10-1 --section 12 --y-mm 6900")
@click.argument("code", type=BIN, metavar="BIN")
@_cells
def change(ask: Ask, code: str, **given: str | None) -> Answer:
    """Changes one bin; what isn't given stays. It takes another part only when nothing lies in it or is promised."""
    from fulfil.stock.bin_changes import change_bin

    with ask.shop() as shop:
        done = change_bin(shop, code, _given(given), at=ask.at, person=ask.person)
    says = f"Bin {code} is changed." if done.differences else f"Bin {code} stays as it was."
    return _answer(done, code, f"Bin {code} was not changed:", says)


@command(bins, "retire", "fulfil bins retire 2R-10-1")
@click.argument("code", type=BIN, metavar="BIN")
def retire(ask: Ask, code: str) -> Answer:
    """Takes a bin out of the shop; refused while it holds pieces, or pieces of it are promised or may come back."""
    from fulfil.stock.bin_changes import retire_bin

    with ask.shop() as shop:
        place = retire_bin(shop, code, at=ask.at, person=ask.person)
    return Answer(
        [f"Bin {code} is out of the shop; its code may be given again."], {"bin": place.model_dump(mode="json")}
    )


def _given(cells: dict[str, str | None]) -> dict[str, str]:
    return {name: cell for name, cell in cells.items() if cell is not None}


def _answer(done: "BinChanged", code: str, refused: str, says: str) -> Answer:
    facts: dict[str, Any] = {
        "bin": None if done.place is None else done.place.model_dump(mode="json"),
        "changed": {name: {"before": before, "now": now} for name, (before, now) in done.differences},
        "tells": list(done.tells),
        "findings": [finding.as_dict() for finding in done.findings],
    }
    if done.findings:
        return Answer([refused, *listed(done.findings)], {**facts, "code": code}, must_act=True)
    rows = [(name, before, now) for name, (before, now) in done.differences]
    lines = [says, *(table(rows, ("column", "before", "now")) if rows else []), *done.tells]
    return Answer(lines, facts, must_act=bool(done.tells))
