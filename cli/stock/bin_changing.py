"""``fulfil bins add``, ``change``, ``retire``: one bin by itself, by the rules of ``bins.csv``."""

import click

from ..frame import Answer, Ask, command
from ..numbers import BIN
from .bins import bins
from .typed_cells import cells_options, changed_answer, given

CELLS = {
    "aisle": "Name of an aisle (or passage) of the room.",
    "side": "left or right, seen from the front.",
    "section": "Counted from the front.",
    "level": "1 is lowest.",
    "y_mm": "The bin's middle from the front of the room, in mm.",
    "part": "The part in it.",
    "lot": "The lot in it.",
    "use": "picking, or reserve for a bin from which others are filled up.",
    "received_on": "The day on which its opening count came in.",
}
"""The columns of ``bins.csv`` that can be typed, each with what it is; ``pieces`` only for a new bin."""


@command(
    bins,
    "add",
    "fulfil bins add 2R-10-1 --aisle 2 --side right --section 10 --level 1 --y-mm 5700 --part BUSH-4 --pieces 120",
)
@click.argument("code")
@cells_options(CELLS)
@click.option("--pieces", default=None, help="Its opening count; else 0.")
def add(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Adds one bin and books its opening count; every option is the column of that name in bins.csv."""
    from fulfil.stock.bin_changes import add_bin

    with ask.shop() as shop:
        done = add_bin(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.place, "bin", "code", code, "added")


@command(bins, "change", "fulfil bins change 2R-10-1 --section 12 --y-mm 6900")
@click.argument("code", type=BIN, metavar="BIN")
@cells_options(CELLS)
def change(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Changes one bin; what isn't given stays. It takes another part only when nothing lies in it or is promised."""
    from fulfil.stock.bin_changes import change_bin

    with ask.shop() as shop:
        done = change_bin(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.place, "bin", "code", code, "changed")


@command(bins, "retire", "fulfil bins retire 2R-10-1", has_dry_run=True)
@click.argument("code", type=BIN, metavar="BIN")
def retire(ask: Ask, code: str) -> Answer:
    """Takes a bin out of the shop; refused while it holds pieces, or pieces of it are promised or may come back."""
    from fulfil.stock.bin_changes import retire_bin

    with ask.shop() as shop:
        place = retire_bin(shop, code, at=ask.at, person=ask.person)
    return Answer(
        [f"Bin {code} is out of the shop; its code may be given again."], {"bin": place.model_dump(mode="json")}
    )
