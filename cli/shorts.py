"""``fulfil shorts``: what can't be had today."""

from pathlib import Path

import click

from .frame import Answer, Ask, command, table


@click.group()
def shorts() -> None:
    """List what can't be had today."""


@command(shorts, "list", "fulfil shorts list --out papers")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print the list there.")
def list_(ask: Ask, out: Path | None) -> Answer:
    """Lists short parts: made next door or bought, how many, for which orders."""
    from fulfil.day.printing import print_shorts
    from fulfil.day.sheets_day import short_list_sheet

    with ask.shop() as shop:
        with shop.reading() as books:
            sheet = short_list_sheet(books, day=ask.at.date())
        written = [] if out is None else print_shorts(shop, out, day=ask.at.date())
    rows = [
        (
            row.supply.value,
            row.supplier,
            row.part_number,
            row.pieces,
            ", ".join(f"{order.order_number} ({order.pieces})" for order in row.waiting),
        )
        for row in sheet.rows
    ]
    lines = table(rows, ("from", "supplier", "part", "pieces", "orders")) if rows else ["Nothing is short."]
    facts = {
        "shorts": [
            {
                "part": row.part_number,
                "pieces": row.pieces,
                "supply": row.supply.value,
                "supplier": row.supplier,
                "orders": {order.order_number: order.pieces for order in row.waiting},
            }
            for row in sheet.rows
        ],
        "papers": [str(path) for path in written],
    }
    return Answer([*lines, *[f"printed {path}" for path in written]], facts, must_act=bool(rows))
