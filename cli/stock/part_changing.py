"""``fulfil parts add``, ``change``, ``retire``: one part by itself, by the rules of ``parts.csv``."""

import click

from ..frame import Answer, Ask, command
from ..numbers import PART
from .parts import parts
from .typed_cells import cells_options, changed_answer, given

CELLS = {
    "description": "One line of text.",
    "family": "What it is, such as 'cap screw'.",
    "size": "What it measures, such as 'M3 x 16'.",
    "finish": "What it looks like.",
    "unit_weight_g": "Mean mass of one piece, in g.",
    "piece_sd_g": "Its s.d. from piece to piece, in g.",
    "sample_pieces": "Pieces in the weighed sample.",
    "weight_source": "sampled, geometry, handbook or supplier.",
    "lot": "The lot that the sample came from.",
    "bulk_volume_mm3": "Room that one piece takes in a heap, in mm³; else estimated.",
    "longest_mm": "Longest side, in whole mm.",
    "width_mm": "Second side, in whole mm; else presumed.",
    "thickness_mm": "Shortest side, in whole mm; else presumed.",
    "supply": "make or buy.",
    "supplier": "Who to buy it from.",
    "lithium": "Its lithium cell, such as 'ion cell 2.6 Wh, packed with equipment'.",
    "lead_ppm": "Milligrams of lead in a kilogram of it.",
    "pack_pieces": "Pieces in one pack of the supplier; else sold singly.",
    "hazards": "Hazard words with spaces between.",
    "fragile": "yes for what breaks or bends under other goods.",
    "customs_description": "Goods and use, for customs.",
    "hs_code": "Harmonized System code.",
    "origin": "ISO 3166-1 code of the country of origin.",
    "price": "Of one piece.",
    "currency": "ISO 4217 code of the price; a new part's is the shop's, if not given.",
    "photo_path": "A picture for the checker.",
    "retired": "yes, or no to bring a retired part back.",
}
"""The columns of ``parts.csv`` that can be typed, each with what it is."""


@command(
    parts,
    "add",
    "fulfil parts add BUSH-4 --description 'Bush 4 x 6 x 5' --family bush --longest-mm 6 --supply make --price 0.40",
)
@click.argument("number")
@cells_options(CELLS)
def add(ask: Ask, number: str, **typed: str | None) -> Answer:
    """Adds one part; every option is the column of that name in parts.csv. Next: fulfil bins add."""
    from fulfil.stock.part_changes import add_part

    with ask.shop() as shop:
        if typed["currency"] is None:
            with shop.reading() as books:
                typed["currency"] = books.settings().currency
        done = add_part(shop, number, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.part, "part", "number", number, "added", done.notes)


@command(parts, "change", "fulfil parts change BUSH-4 --price 0.45 --supplier ''")
@click.argument("number", type=PART, metavar="PART")
@cells_options(CELLS)
def change(ask: Ask, number: str, **typed: str | None) -> Answer:
    """Changes one part; what isn't given stays, '' empties a cell. Weights of your own: fulfil parts sample."""
    from fulfil.stock.part_changes import change_part

    with ask.shop() as shop:
        done = change_part(shop, number, given(typed), at=ask.at, person=ask.person)
    return changed_answer(done, done.part, "part", "number", number, "changed", done.notes)


@command(parts, "retire", "fulfil parts retire BUSH-4", has_dry_run=True)
@click.argument("number", type=PART, metavar="PART")
def retire(ask: Ask, number: str) -> Answer:
    """Takes a part out of what can be ordered; what is owed of it is still served, and said."""
    from fulfil.stock.part_changes import retire_part

    with ask.shop() as shop:
        done = retire_part(shop, number, at=ask.at, person=ask.person)
    return changed_answer(done, done.part, "part", "number", number, "retired", done.notes)


@command(parts, "acted-on", "fulfil parts acted-on BUSH-4 --reason 'coated ones taken out of the bin'")
@click.argument("number", type=PART, metavar="PART")
@click.option("--lot", default="", help="Of which lot, where the shop keeps lots apart.")
@click.option("--reason", required=True, help="What was done about it; kept.")
def acted_on(ask: Ask, number: str, lot: str, reason: str) -> Answer:
    """Says what was done about a part that weighed otherwise: its alarm ends. A new sample of it ends it too."""
    from fulfil.counting.goods_alarms import act_on_goods
    from fulfil.records.weighing import AlarmedGoods

    with ask.shop() as shop, shop.writing() as books:
        done = act_on_goods(books, AlarmedGoods.PART, number, reason, at=ask.at, person=ask.person, lot=lot)
    lines = [f"The alarm of part {number} ends, by {done.acted_by}: {done.reason}."]
    return Answer(lines, {"alarm": done.model_dump(mode="json")})
