"""``fulfil scales add``, ``change``, ``retire``: one scale by itself, by the rules of ``scales.csv``."""

import click

from ..frame import Answer, Ask, command
from ..numbers import SCALE
from ..stock.typed_cells import cells_options, changed_answer, given
from .scales import scales

CELLS = {
    "accuracy_class": "I, II, III or IIII, in an oval on its plate.",
    "e_g": "Verification interval e, in g.",
    "d_g": "Scale interval d, the smallest step of the display, in g.",
    "max_g": "The most it weighs (Max), in g.",
    "min_g": "The least it weighs (Min), in g.",
    "repeatability_g": "S.d. of one load weighed again and again, in g.",
    "use": "bags or packages; bags if not given.",
    "retired": "yes, or no to bring a retired scale back.",
}
"""The columns of ``scales.csv``, each with what it is."""


@command(
    scales,
    "add",
    "fulfil scales add BENCH-9 --accuracy-class II --e-g 0.1 --d-g 0.01 --max-g 620 --min-g 0.5",
)
@click.argument("code")
@cells_options(CELLS)
def add(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Adds one scale; every option is the column of that name in scales.csv, copied from its plate.

    Next: fulfil scales check. Where weight sets a price or the postage, use a verified scale; local law governs.
    """
    from fulfil.stock.equipment_changes import add_scale

    with ask.shop() as shop:
        done = add_scale(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "scale", "code", code, "added")


@command(scales, "change", "fulfil scales change BENCH-1 --repeatability-g 0.02")
@click.argument("code", type=SCALE, metavar="SCALE")
@cells_options(CELLS)
def change(ask: Ask, code: str, **typed: str | None) -> Answer:
    """Changes one scale; what isn't given stays, '' empties a cell. Windows are made from it at the next plan."""
    from fulfil.stock.equipment_changes import change_scale

    with ask.shop() as shop:
        done = change_scale(shop, code, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "scale", "code", code, "changed")


@command(scales, "retire", "fulfil scales retire BENCH-1", has_dry_run=True)
@click.argument("code", type=SCALE, metavar="SCALE")
def retire(ask: Ask, code: str) -> Answer:
    """Takes a scale out of use at once; says which bags still wait for it. What it weighed stays in the books."""
    from fulfil.stock.equipment_changes import retire_scale

    with ask.shop() as shop:
        done = retire_scale(shop, code, at=ask.at, person=ask.person)
    return changed_answer(done, done.record, "scale", "code", code, "retired")
