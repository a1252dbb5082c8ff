"""``fulfil kits``: parts made of parts."""

from pathlib import Path

import click

from ..frame import FILE_IN, Answer, Ask, Noun, command, folder_option, listed, table
from ..numbers import ORDER


@click.group(cls=Noun)
def kits() -> None:
    """Bring kits in, show them, print their labels."""


@command(kits, "import", "fulfil kits import kits.csv", has_dry_run=True)
@click.argument("file", type=FILE_IN)
def import_(ask: Ask, file: Path) -> Answer:
    """Imports kits from a CSV file (kit, part, pieces; a row a part), whole or not at all."""
    from fulfil.orders.kits import import_kits

    with ask.shop() as shop:
        done = import_kits(shop, file, at=ask.at, person=ask.person)
    facts = {"kits": done.kits, "findings": [finding.as_dict() for finding in done.findings]}
    if done.findings:
        return Answer([f"No kit was imported from {file}:", *listed(done.findings)], facts, must_act=True)
    return Answer([f"{done.kits} kits are new or changed."], facts)


@command(kits, "list", "fulfil kits list")
def list_(ask: Ask) -> Answer:
    """Lists kits and what is in them."""
    from fulfil.records.kit import KitPart

    with ask.shop() as shop, shop.reading() as books:
        found = books.find(KitPart)
    rows = [(one.kit_number, one.part_number, one.pieces) for one in found]
    lines = table(rows, ("kit", "part", "pieces")) if rows else ["The shop has no kits."]
    return Answer(lines, {"kits": [one.model_dump(mode="json") for one in found]})


@command(kits, "labels", "fulfil kits labels W-1001 --out papers")
@click.argument("order", type=ORDER, metavar="ORDER")
@folder_option
def labels(ask: Ask, order: str, out: Path) -> Answer:
    """Prints the labels for the outer bags of an order's kits."""
    from fulfil.despatch.kit_labels import kit_label_sheets
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        written = print_papers(shop, out, lambda books: kit_label_sheets(books, order), name=f"{order}-kit-labels")
    lines = [f"to print: {path}" for path in written] or [f"Order {order} has no kit in bags."]
    return Answer(lines, {"papers": [str(path) for path in written]})
