"""``fulfil shorts``: what can't be had today, what is made or bought for it, and booking it in."""

from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ..frame import GRAMS, Answer, Ask, Noun, command, paper_after, table
from ..numbers import BIN, JOB, ORDER, SCALE

if TYPE_CHECKING:
    from fulfil.records.part import Supply

_OUT = click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print the list there."
)


@click.group(cls=Noun)
def shorts() -> None:
    """List what can't be had, make or buy it, book it in."""


@command(shorts, "list", "fulfil shorts list --out papers")
@_OUT
def list_(ask: Ask, out: Path | None) -> Answer:
    """Lists short parts: made next door or bought, how many, for which orders."""
    from fulfil.despatch.day_papers import short_list_sheet
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        with shop.reading() as books:
            sheet = short_list_sheet(books, day=ask.day(shop))
        written = [] if out is None else print_papers(shop, out, lambda _: sheet)
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
    return Answer([*lines, *[f"to print: {path}" for path in written]], facts, must_act=bool(rows))


@command(shorts, "make", "fulfil shorts make --out papers", has_dry_run=True)
@_OUT
def make(ask: Ask, out: Path | None) -> Answer:
    """Makes jobs for the make-room of what is short and on none yet; lists all that are open."""
    from fulfil.records.part import Supply

    return _jobs(ask, Supply.MAKE, out)


@command(shorts, "buy", "fulfil shorts buy --out papers", has_dry_run=True)
@_OUT
def buy(ask: Ask, out: Path | None) -> Answer:
    """Makes jobs for suppliers of what is short and on none yet; lists all that are open, by supplier."""
    from fulfil.records.part import Supply

    return _jobs(ask, Supply.BUY, out)


def _jobs(ask: Ask, supply: "Supply", out: Path | None) -> Answer:
    from fulfil.despatch.order_papers import buy_list_sheet, make_list_sheet
    from fulfil.shop.printing import print_papers
    from fulfil.stock.jobs import make_jobs

    with ask.shop() as shop:
        day = ask.day(shop)
        jobs = make_jobs(shop, supply, day=day, at=ask.at, person=ask.person)
        written: list[Path] = []
        lacks: list[str] = []
        if out is not None:
            sheet = make_list_sheet if supply.value == "make" else buy_list_sheet
            folder = out
            written, lacks = paper_after(
                lambda: print_papers(shop, folder, lambda books: sheet(books, day=day, at=ask.at)),
                f"fulfil papers show {supply.value}-list --out list.png",
            )
    rows = [
        (
            job.number,
            job.supplier,
            job.part_number,
            job.pieces_open,
            "" if job.due is None else f"{job.due:%a %H:%M %Z}",
        )
        for job in jobs
    ]
    lines = table(rows, ("job", "supplier", "part", "pieces", "by")) if rows else [f"Nothing to {supply.value}."]
    facts = {"jobs": [job.model_dump(mode="json") for job in jobs], "papers": [str(path) for path in written]}
    lines += [*[f"to print: {path}" for path in written], *lacks]
    return Answer(lines, facts, must_act=bool(rows), not_printed=bool(lacks))


@command(
    shorts, "book-in", "fulfil shorts book-in J2603020001 --gross 131.42 --tare 25.10 --scale BENCH-1", is_once=True
)
@click.argument("job", type=JOB, metavar="JOB")
@click.option("--counted", type=click.IntRange(min=1), default=None, help="Pieces counted by hand.")
@click.option("--gross", type=GRAMS, default=None, help="What the scale shows with the tub, in g.")
@click.option("--tare", type=GRAMS, default=Decimal(0), help="The empty tub, in g.")
@click.option("--scale", "scale_code", type=SCALE, default="", help="Which scale.")
@click.option("--within", type=click.IntRange(min=0), default=0, help="Pieces by which the weight may be unsure.")
@click.option("--bin", "bin_code", type=BIN, default="", help="Where they go; else the part's emptiest bin.")
def book_in(
    ask: Ask,
    job: str,
    counted: int | None,
    gross: Decimal | None,
    tare: Decimal,
    scale_code: str,
    within: int,
    bin_code: str,
) -> Answer:
    """Books made or bought pieces in, by weight or by hand, and plans the orders that wait for them."""
    from fulfil.stock.jobs import book_in as book

    with ask.shop() as shop:
        done = book(
            shop,
            job,
            day=ask.day(shop),
            at=ask.at,
            person=ask.person,
            counted=counted,
            gross_g=gross,
            tare_g=tare,
            scale_code=scale_code,
            within=within,
            bin_code=bin_code,
        )
    lines = [f"{done.pieces} of {done.job.part_number} are in ({done.says}); {done.job.pieces_open} still to come."]
    walks = () if done.plan is None else done.plan.walks
    if done.orders:
        said = f"{len(walks)} walks for them" if walks else "nothing more can be promised to them"
        lines.append(f"Orders that waited: {', '.join(done.orders)}; {said}.")
    facts = {
        "job": done.job.model_dump(mode="json"),
        "pieces": done.pieces,
        "says": done.says,
        "orders": [*done.orders],
        "walks": [walk.number for walk in walks],
    }
    return Answer(lines, facts)


@command(shorts, "close", "fulfil shorts close J2603020001 --reason 'supplier has none'")
@click.argument("job", type=JOB, metavar="JOB")
@click.option("--reason", required=True, help="For the one who looks for the pieces.")
def close(ask: Ask, job: str, reason: str) -> Answer:
    """Closes a job of which no more will come."""
    from fulfil.stock.jobs import close_job

    with ask.shop() as shop:
        done = close_job(shop, job, reason, at=ask.at, person=ask.person)
    return Answer([f"Job {job} is closed: {done.booked_pieces} of {done.pieces} came."], done.model_dump(mode="json"))


@command(shorts, "note", "fulfil shorts note W-1001 --out papers")
@click.argument("number", type=ORDER, metavar="ORDER")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=Path("papers"), help="Where it goes.")
def note(ask: Ask, number: str, out: Path) -> Answer:
    """Prints the note to a customer whose order arrives in more than one parcel."""
    from fulfil.despatch.order_papers import partial_note_sheet
    from fulfil.records.order import Order
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        day = ask.day(shop)
        written = print_papers(
            shop, out, lambda books: partial_note_sheet(books, books.need(Order, number), day=day, at=ask.at)
        )
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})
