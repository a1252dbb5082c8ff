"""``fulfil stock``: levels, changes with a reason, reorder points, fast and dead stock."""

import csv
from collections.abc import Mapping, Sequence
from io import StringIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..frame import Answer, Ask, Noun, command, listed, many, replace_option, table, table_option, tabled
from ..numbers import BIN, PART

if TYPE_CHECKING:
    import pandas as pd

    from fulfil.records.pieces import StockEntry
    from fulfil.stock.levels import StockChange

_WEEKS = click.option(
    "--weeks", type=click.IntRange(2, 104), default=8, show_default=True, help="How far to look back."
)


@click.group(cls=Noun)
def stock() -> None:
    """Adjust, watch, move, replenish the stock, write it out."""


@command(stock, "levels", "fulfil stock levels BALL-3")
@click.argument("parts", nargs=-1, type=PART, metavar="[PART]...")
@table_option
def levels(ask: Ask, parts: tuple[str, ...], table_path: Path | None) -> Answer:
    """Shows on hand, promised, free, short and to come, of some parts or of all."""
    from fulfil.stock.levels import PartLevel, part_levels

    with ask.shop() as shop, shop.reading() as books:
        found = part_levels(books, parts or None)
    return _tabled(PartLevel._fields, found, [one._asdict() for one in found], table_path)


@command(stock, "adjust", "fulfil stock adjust 01L-01-1A --change -3 --reason 'used for the display'", is_once=True)
@click.argument("bin_code", type=BIN, metavar="BIN")
@click.option("--change", "change", type=int, required=True, help="Pieces more (or, below zero, fewer).")
@click.option("--reason", required=True, help="For the one who counts next.")
def adjust(ask: Ask, bin_code: str, change: int, reason: str) -> Answer:
    """Books pieces in or out of a bin, with a reason."""
    from fulfil.stock.levels import adjust_bin

    with ask.shop() as shop:
        return _changed(adjust_bin(shop, bin_code, change, reason, at=ask.at, person=ask.person))


@command(stock, "receive", "fulfil stock receive 01L-01-1A 500 --source 'delivery note 4711'", is_once=True)
@click.argument("bin_code", type=BIN, metavar="BIN")
@click.argument("pieces", type=click.IntRange(min=1))
@click.option("--source", "source", required=True, help="The delivery they came with.")
def receive(ask: Ask, bin_code: str, pieces: int, source: str) -> Answer:
    """Books delivered pieces into a bin."""
    from fulfil.stock.levels import receive as book

    with ask.shop() as shop:
        return _changed(book(shop, bin_code, pieces, source, at=ask.at, person=ask.person))


@command(stock, "reject", "fulfil stock reject 01L-01-1A 4 --reason 'teeth burred'", is_once=True)
@click.argument("bin_code", type=BIN, metavar="BIN")
@click.argument("pieces", type=click.IntRange(min=1))
@click.option("--reason", required=True, help="What is wrong with them.")
def reject(ask: Ask, bin_code: str, pieces: int, reason: str) -> Answer:
    """Books bad pieces out of their bin; made parts go onto the make list."""
    from fulfil.stock.levels import reject_pieces

    with ask.shop() as shop:
        done = reject_pieces(shop, bin_code, pieces, reason, day=ask.day(shop), at=ask.at, person=ask.person)
    return _changed(done)


@command(stock, "reorder", "fulfil stock reorder --weeks 8")
@_WEEKS
@table_option
def reorder(ask: Ask, weeks: int, table_path: Path | None) -> Answer:
    """Says what to order again: mean use of the lead time and a safety stock for the service level set."""
    from fulfil.stock.levels import reorder_frame

    with ask.shop() as shop, shop.reading() as books:
        frame = reorder_frame(books, until=ask.day(shop), weeks=weeks)
    return _framed(frame, table_path, must_act=bool(frame["order_now"].any()))


@command(stock, "movement", "fulfil stock movement --weeks 8 --table movement.csv")
@_WEEKS
@table_option
def movement(ask: Ask, weeks: int, table_path: Path | None) -> Answer:
    """Shows fast, slow and dead stock with its weeks of cover."""
    from fulfil.stock.levels import movement_frame

    with ask.shop() as shop, shop.reading() as books:
        frame = movement_frame(books, until=ask.day(shop), weeks=weeks)
    return _framed(frame, table_path)


@command(stock, "ledger", "fulfil stock ledger 01L-01-1A")
@click.argument("bin_code", type=BIN, metavar="BIN")
def ledger(ask: Ask, bin_code: str) -> Answer:
    """Shows every change of a bin, and that they sum to its level."""
    from fulfil.records.pieces import StockEntry, There
    from fulfil.records.place import Bin

    with ask.shop() as shop, shop.reading() as books:
        place = books.need(Bin, bin_code)
        into = books.find(StockEntry, to_place=There.BIN, to_ref=bin_code)
        entries = sorted([*into, *books.find(StockEntry, from_place=There.BIN, from_ref=bin_code)], key=_running)
    rows, level = [], 0
    for entry in entries:
        level += entry.change_of(bin_code)
        rows.append(
            (f"{entry.at:%Y-%m-%d %H:%M}", entry.reason, entry.change_of(bin_code), level, entry.source, entry.person)
        )
    lines = table(rows, ("at (UTC)", "reason", "pieces", "level", "source", "by"))
    lines.append(f"The entries sum to {level}; the books say {place.pieces}.")
    facts = {"entries": [entry.model_dump(mode="json") for entry in entries], "sum": level, "level": place.pieces}
    return Answer(lines, facts, must_act=level != place.pieces)


@command(stock, "export", "fulfil stock export bins.csv")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@replace_option
def export(ask: Ask, file: Path, replace: bool) -> Answer:
    """Writes every bin with its place, part and level by the books, as `catalogue import` reads bins.csv."""
    from fulfil.stock.catalogue_out import export_stock

    with ask.shop() as shop:
        done = export_stock(shop, file, replace=replace)
    rows = done.records[file.name]
    return Answer([f"{many(rows, 'bin')} written to {file}."], {"file": str(file), "rows": rows})


def _running(entry: "StockEntry") -> int:
    return entry.id


def _changed(done: "StockChange") -> Answer:
    lines = [f"Bin {done.bin_code} ({done.part_number}): {done.before} before, {done.after} now."]
    if done.job is not None:
        lines.append(f"Job {done.job.number}: {done.job.pieces} to make.")
    facts = {
        "bin": done.bin_code,
        "part": done.part_number,
        "before": done.before,
        "after": done.after,
        "job": None if done.job is None else done.job.number,
        "findings": [finding.as_dict() for finding in done.findings],
    }
    return Answer([*lines, *listed(done.findings)], facts, must_act=bool(done.findings))


def _framed(frame: "pd.DataFrame", table_path: Path | None, *, must_act: bool = False) -> Answer:
    rows = [tuple("" if value != value else value for value in row) for row in frame.itertuples(index=False)]
    facts = frame.astype(object).where(frame.notna(), None).to_dict("records")
    return _tabled([str(name) for name in frame.columns], rows, facts, table_path, must_act=must_act)


def _tabled(
    names: Sequence[str],
    rows: Sequence[Sequence[object]],
    facts: Sequence[Mapping[Any, Any]],
    table_path: Path | None,
    *,
    must_act: bool = False,
) -> Answer:
    lines = table(rows[:50], [name.replace("_", " ") for name in names]) if rows else ["Nothing to show."]
    if len(rows) > 50:
        lines.append(f"and {len(rows) - 50} more; --table FILE or --json shows all")
    answer = Answer(lines, {"rows": [*facts]}, must_act=must_act)
    if table_path is None:
        return answer
    text = StringIO(newline="")
    csv.writer(text, lineterminator="\r\n").writerows([names, *rows])
    return tabled(answer, table_path, text.getvalue().encode())
