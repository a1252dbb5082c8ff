"""``fulfil stock replenish`` and ``move``: the evening's list, and the booking of what was carried from bin to bin."""

from pathlib import Path

import click

from ..frame import Answer, Ask, command, listed, table
from ..numbers import BIN
from .stock import stock


@command(stock, "move", "fulfil stock move 12R-40-4 01L-01-1A 400 --reason 'replenishment list'", is_once=True)
@click.argument("from_bin", type=BIN, metavar="FROM")
@click.argument("to_bin", type=BIN, metavar="TO")
@click.argument("pieces", type=click.IntRange(min=1))
@click.option("--reason", default="replenishment list", show_default=True, help="Why; kept with the booking.")
def move(ask: Ask, from_bin: str, to_bin: str, pieces: int, reason: str) -> Answer:
    """Books pieces from one bin of a part into another; another lot only into an empty bin."""
    from fulfil.stock.bin_to_bin import carry

    with ask.shop() as shop:
        done = carry(shop, from_bin, to_bin, pieces, reason, at=ask.at, person=ask.person)
    lines = [
        f"{done.pieces} pieces of {done.to_bin.part_number} moved:",
        f"bin {from_bin} holds {done.from_bin.pieces}, bin {to_bin} {done.to_bin.pieces} now.",
    ]
    facts = {
        "from": done.from_bin.model_dump(mode="json"),
        "to": done.to_bin.model_dump(mode="json"),
        "pieces": done.pieces,
        "findings": [finding.as_dict() for finding in done.findings],
    }
    return Answer([*lines, *listed(done.findings)], facts, must_act=bool(done.findings))


@command(stock, "replenish", "fulfil stock replenish --out papers")
@click.option(
    "--days", type=click.IntRange(1, 99), default=5, show_default=True, help="Fill up for so many usual days."
)
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print the list there.")
def replenish(ask: Ask, days: int, out: Path | None) -> Answer:
    """Lists what to bring from reserve bins in the evening, where picking bins won't do for tomorrow."""
    from fulfil.shop.printing import print_papers
    from fulfil.stock.replenishing import refills
    from fulfil.stock.replenishment_paper import sheet_of

    with ask.shop() as shop:
        with shop.reading() as books:
            day = ask.day(shop)
            found = refills(books, day=day, days=days)
            sheet = sheet_of(books, found, day=day, days=days)
        written = [] if out is None else print_papers(shop, out, lambda _: sheet)
    rows = [
        (
            row.from_bin.code, row.to_bin.code, row.from_bin.part_number, "all " * row.is_all + str(row.pieces),
            row.free, f"{row.usual.mean:.1f} ± {row.usual.u:.1f}", row.usual.most,
        )
        for row in found.rows
    ]  # fmt: skip
    lines = ["Picking bins hold enough for tomorrow, or no reserve bin does."]
    if rows:
        lines = table(rows, ("from", "to", "part", "pieces", "free", "a day", "at most"))
        lines.append("Once it is done: fulfil stock move FROM TO PIECES.")
    facts = {
        "refills": [
            {
                "from": row.from_bin.code,
                "to": row.to_bin.code,
                "part": row.from_bin.part_number,
                "pieces": row.pieces,
                "is_all": row.is_all,
                "free": row.free,
                "usual_day": {"mean": row.usual.mean, "u": row.usual.u, "most": row.usual.most,
                              "chance": row.usual.chance, "days": row.usual.days},
            }
            for row in found.rows
        ],
        "findings": [finding.as_dict() for finding in found.findings],
        "papers": [str(path) for path in written],
    }  # fmt: skip
    lines += [*listed(found.findings), *[f"to print: {path}" for path in written]]
    return Answer(lines, facts, must_act=bool(rows or found.findings))
