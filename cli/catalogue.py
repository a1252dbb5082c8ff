"""``fulfil catalogue``: bring the shop's catalogue in."""

from pathlib import Path

import click

from .frame import Answer, Ask, Noun, command, listed, many, table


@click.group(cls=Noun)
def catalogue() -> None:
    """Bring parts, bins, room, scales, bags, boxes, services in."""


@command(catalogue, "import", "fulfil catalogue import my-catalogue --shop my-shop.sqlite")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False, exists=True))
@click.option("--encoding", default="utf-8-sig", help="The files' encoding where it isn't UTF-8, such as cp1252.")
def import_(ask: Ask, folder: Path, encoding: str) -> Answer:
    """Imports a folder of CSV files, whole or not at all; all findings are listed by file and line.

    A part that is in the shop but not in the folder is retired, never deleted.
    """
    from fulfil.day.catalogue import import_catalogue

    with ask.shop() as shop:
        done = import_catalogue(shop, folder, at=ask.at, person=ask.person, encoding=encoding)
    counts = {
        kind: {"new": one.new, "changed": one.changed, "retired": one.retired}
        for kind, one in sorted(done.counts.items())
    }
    facts = {
        "changed": done.changed,
        "counts": counts,
        "notes": list(done.notes),
        "findings": [finding.as_dict() for finding in done.findings],
    }
    if done.findings:
        lines = [f"Nothing was imported: {many(len(done.findings), 'finding')} in {folder}.", *listed(done.findings)]
        return Answer(lines, facts, must_act=True)
    if not done.changed:
        return Answer([f"{folder} holds nothing new; the shop is unchanged."], facts)
    rows = [(kind, one["new"], one["changed"], one["retired"]) for kind, one in counts.items()]
    lines = [f"Imported {folder}:", *table(rows, ("what", "new", "changed", "retired"))]
    return Answer([*lines, *[f"Note: {note}." for note in done.notes]], facts)
