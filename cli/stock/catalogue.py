"""``fulfil catalogue``: bring the shop's catalogue in, write it out."""

from pathlib import Path

import click

from ..frame import Answer, Ask, Noun, command, dialect, dialect_options, listed, many, replace_option, table


@click.group(cls=Noun)
def catalogue() -> None:
    """Bring parts, bins, room, scales, bags, boxes, services in; write them out."""


@command(catalogue, "import", "fulfil catalogue import my-catalogue --shop my-shop.sqlite", has_dry_run=True)
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False, exists=True))
@dialect_options
@click.option("--with-stock", is_flag=True, help="The levels in bins.csv are a count of every bin, taken today.")
def import_(
    ask: Ask, folder: Path, encoding: str, delimiter: str | None, decimal: str | None, with_stock: bool
) -> Answer:
    """Imports a folder of tables, whole or not at all; all findings are listed by file and line.

    Each file is CSV or a workbook (parts.csv or parts.xlsx). How it is written (encoding, delimiter, decimal sign,
    units above the columns) is found out and said; the options hold where that is wrong.

    A part that is in the shop but not in the folder is retired, never deleted. What lies in a bin is never set by a
    catalogue: the level in bins.csv is the opening count of a bin that is new to the shop, and of a bin that the shop
    knows it is left alone and named. With --with-stock the file is a count of every bin, and the differences are
    booked. A bin that holds pieces or promises can't leave the file.
    """
    from fulfil.stock.catalogue import import_catalogue

    how = dialect(encoding, delimiter, decimal)
    with ask.shop() as shop:
        done = import_catalogue(shop, folder, at=ask.at, person=ask.person, with_stock=with_stock, **how)
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
        return Answer([*lines, *(f"Note: {note}." for note in done.notes)], facts, must_act=True)
    notes = [f"Note: {note}." for note in done.notes]
    if not done.changed:
        return Answer([f"{folder} holds nothing new; the shop is unchanged.", *notes], facts)
    rows = [(kind, one["new"], one["changed"], one["retired"]) for kind, one in counts.items()]
    lines = [f"Imported {folder}:", *table(rows, ("what", "new", "changed", "retired"))]
    return Answer([*lines, *notes], facts)


@command(catalogue, "export", "fulfil catalogue export my-catalogue --shop my-shop.sqlite")
@click.argument("folder", type=click.Path(path_type=Path, file_okay=False))
@replace_option
def export(ask: Ask, folder: Path, replace: bool) -> Answer:
    """Writes the files that `catalogue import` and `kits import` read, with today's levels.

    Imported into an empty shop they make the same catalogue; into this one, they change nothing.
    """
    from fulfil.stock.catalogue_out import export_catalogue

    with ask.shop() as shop:
        done = export_catalogue(shop, folder, replace=replace)
    lines = [f"Written to {folder}:", *table([*done.records.items()], ("file", "rows"))]
    return Answer(lines, {"files": [str(path) for path in done.paths], "rows": done.records})
