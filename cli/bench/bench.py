"""``fulfil bench``: check and pack with scanner, scale and keyboard; cards, slips, mistakes."""

from collections.abc import Callable
from dataclasses import asdict
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..frame import Answer, Ask, Noun, command, folder_option, made_after, paper_after, table
from ..numbers import ORDER, SCALE, SLIP, WALK

if TYPE_CHECKING:
    from fulfil.bench.pack_station import PackBench


@click.group(cls=Noun)
def bench() -> None:
    """Check and pack at the bench; print its cards and slips, report mistakes."""


_STATION = (
    click.option("--bench", "name", default="", help="The bench's name, when the shop has several of a kind."),
    click.option("--port", default="", help="Serial port of a scale that sends by itself, such as /dev/ttyUSB0."),
    click.option(
        "--baud", type=click.IntRange(110, 4_000_000), default=9600, show_default=True, help="The port's speed."
    ),
    click.option(
        "--line-pattern", default="", help="How the scale's lines look: a regular expression with (?P<mass>)."
    ),
    click.option(
        "--steady",
        type=click.IntRange(1, 100),
        default=1,
        show_default=True,
        help="Equal readings in a row that make one steady.",
    ),
    click.option("--quiet", is_flag=True, help="No bells."),
    click.option("--plain", is_flag=True, help="No large letters, for screen readers."),
    click.option("--frozen-time", is_flag=True, help="Stamp everything with the time of --at, for rehearsals."),
)


def _station(function: Callable[..., Answer]) -> Callable[..., Answer]:
    for option in reversed(_STATION):
        function = option(function)
    return function


@command(bench, "check", "fulfil bench check --by anna")
@_station
@click.option("--slips", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print slips there.")
@click.option(
    "--one-in",
    type=click.IntRange(0, 10_000),
    default=0,
    help="Check one low-risk bag in so many, once --clear in a row were right.",
)
@click.option(
    "--clear",
    type=click.IntRange(1, 100_000),
    default=84,
    show_default=True,
    help="Right bags in a row before --one-in begins.",
)
@click.option(
    "--high-value",
    type=click.IntRange(min=0),
    default=10_000,
    show_default=True,
    help="Minor units from which a bag is looked at twice.",
)
def check(ask: Ask, slips: Path | None, one_in: int, clear: int, high_value: int, **station: Any) -> Answer:
    """Proves every bag: scan it, weigh it, look at it. Type 'help' for the commands."""
    from fulfil.bench.check_station import CheckBench
    from fulfil.bench.facts import FactsOfCheck, KeptIndex
    from fulfil.checking.sampling_plan import SamplingPlan
    from fulfil.checking.second_look import LookRules

    plan = SamplingPlan(one_in, clear) if one_in else None
    if plan is not None:
        click.echo(f"Sampling low-risk bags. {plan.statement(0.01)}")
    with ask.shop() as shop:
        at_bench = CheckBench(
            shop,
            station["name"] or "check-1",
            person=_person(ask),
            facts=FactsOfCheck(KeptIndex(), LookRules(high_value_minor=high_value), plan),
            steady_run=station["steady"],
        )

        def print_slips() -> list[str]:
            if slips is None:
                at_bench.slips.clear()
                return []
            from fulfil.bench.recount_slips import recount_sheets
            from fulfil.shop.printing import print_papers

            numbers, at_bench.slips[:] = list(at_bench.slips), []
            said: list[str] = []
            for number in numbers:
                make = partial(print_papers, shop, slips, partial(recount_sheets, numbers=[number]))
                printed, lacks = paper_after(make, f"fulfil bench slips {number} --out FOLDER")
                said += [*[f"  to print: {path}" for path in printed], *lacks]
            return said

        typed = _run(at_bench, ask, station, after=print_slips)
    return Answer([f"Bench {at_bench.bench} closed after {typed} lines."], {"bench": at_bench.bench, "lines": typed})


@command(bench, "pack", "fulfil bench pack --by ben")
@_station
@click.option("--scale", type=SCALE, default="", help="The package scale; else the finest that carries the package.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print papers there.")
@click.option("--weight-tells", is_flag=True, help="Scan only those bags that the package's weight would not miss.")
@click.option("--count-bags", is_flag=True, help="Count those too instead: weight and count in one line, 646 11 bags.")
def pack(ask: Ask, scale: str, out: Path | None, weight_tells: bool, count_bags: bool, **station: Any) -> Answer:
    """Packs checked orders: scan every bag into its box, weigh it, seal it. Type 'help' for the commands.

    With --out the papers of each order come out when it is packed. With --weight-tells one scan and one weighing do
    for a package, but for bags too light for its weight to show: those are scanned into the box as before. With
    --count-bags they are counted: a bag too few or too many is found, one that was exchanged for another order's as
    light is not.
    """
    from fulfil.bench.pack_station import PackBench

    with ask.shop() as shop:
        at_bench = PackBench(
            shop,
            station["name"] or "pack-1",
            person=_person(ask),
            scale_code=scale,
            steady_run=station["steady"],
            weight_tells=weight_tells,
            counts_bags=count_bags,
        )

        def print_packed() -> list[str]:
            orders, at_bench.packed[:] = list(at_bench.packed), []
            if out is None:
                return []
            from fulfil.despatch.package_set import print_set

            lines: list[str] = []
            for order in orders:
                make = partial(
                    print_set, shop, out, orders=[order], day=ask.day(shop), at=ask.at, person=_packer(at_bench, ask)
                )
                done, lacks = made_after(make, f"fulfil packages papers {order} --out FOLDER")
                lines += [f"  to print: {path}" for path in done.written] if done else []
                lines += [f"  {finding}" for finding in done.findings] if done else []
                lines += lacks
            return lines

        typed = _run(at_bench, ask, station, after=print_packed)
    return Answer([f"Bench {at_bench.bench} closed after {typed} lines."], {"bench": at_bench.bench, "lines": typed})


@command(bench, "cards", "fulfil bench cards --out papers --badge anna --badge ben")
@folder_option
@click.option("--badge", "badges", multiple=True, help="A person's name; once for each.")
@click.option(
    "--positions",
    type=click.IntRange(1, 200),
    default=None,
    help="Cards for so many cart positions; else the shop's carts'.",
)
def cards(ask: Ask, out: Path, badges: tuple[str, ...], positions: int | None) -> Answer:
    """Prints command cards, cart position cards and badges, each a bar code that types its text."""
    from fulfil.bench.cards import badge_sheets, card_sheets
    from fulfil.shop.printing import print_sheets

    with ask.shop() as shop, shop.reading() as books:
        settings = books.settings()
    people = badge_sheets(settings, badges)
    written = print_sheets(card_sheets(settings, positions), out, printer=settings)
    written += print_sheets(people, out, printer=settings, name="badges")
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})


@command(bench, "slips", "fulfil bench slips --out papers")
@click.argument("numbers", nargs=-1, type=SLIP, metavar="[SLIP]...")
@folder_option
@click.option("--on-sheets", is_flag=True, help="Four on an office page, to be cut.")
def slips(ask: Ask, numbers: tuple[str, ...], out: Path, on_sheets: bool) -> Answer:
    """Prints recount slips; no SLIP means those of all bags on their way."""
    from fulfil.bench.recount_slips import recount_sheets
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        written = print_papers(shop, out, lambda books: recount_sheets(books, numbers), on_sheets=on_sheets)
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})


@command(bench, "mistakes", "fulfil bench mistakes --since 2026-03-02")
@click.option("--since", default="", help="From this day on (ISO 8601); else the last 13 weeks.")
@click.option("--most", type=click.IntRange(1, 1000), default=10, show_default=True, help="Rows of each table.")
def mistakes(ask: Ask, since: str, most: int) -> Answer:
    """Shows where bags go wrong: by part, bin, look-alike pair, scale and claim; nobody is named."""
    from fulfil.bench.mistakes import mistakes as report

    with ask.shop() as shop:
        done = report(shop, since=_day(since))
    lines = [f"{done.bags_sent_back} of {done.bags_checked} bags checked were sent back."]
    for name, frame in done.frames.items():
        if not frame.empty:
            rows = [[_cell(value) for value in row] for row in frame.head(most).itertuples(index=False)]
            lines += ["", f"by {name.removesuffix('s')}:", *table(rows, [str(column) for column in frame.columns])]
    rates = [
        (one.name.replace("_", " "), f"{one.given:.2%}", one.found.count, one.found.of, f"{one.rate:.2%}",
         f"{one.low:.2%} to {one.high:.2%}")
        for one in done.rates
    ]  # fmt: skip
    lines += ["", "how often it happens here; a diagnosis starts from this:"]
    lines += table(rates, ("mistake", "given", "found", "of_bags", "so_taken", "95 %"))
    frames = {name: frame.to_dict(orient="records") for name, frame in done.frames.items()}
    learned = [asdict(one) for one in done.rates]
    facts = {"bags_checked": done.bags_checked, "bags_sent_back": done.bags_sent_back, "rates": learned, **frames}
    return Answer(lines, facts)


@command(bench, "free", "fulfil bench free W-1001 --reason 'bench check-2 is broken'")
@click.argument("order", type=ORDER, metavar="ORDER")
@click.option("--reason", required=True, help="Why; it stays in the journal.")
def free(ask: Ask, order: str, reason: str) -> Answer:
    """Takes an order out of the hands of a bench that doesn't come back."""
    from fulfil.bench.places import free_order

    with ask.shop() as shop:
        benches = free_order(shop, order, reason, at=ask.at, person=ask.person)
    return Answer([f"Order {order} is free; it was at {', '.join(benches)}."], {"order": order, "benches": benches})


@command(bench, "picked", "fulfil bench picked W2603020001 --by carla")
@click.argument("walk", type=WALK, metavar="WALK")
def picked(ask: Ask, walk: str) -> Answer:
    """Notes that a person (--by) picked a walk: new pickers' bags are looked at twice, nobody checks the own walk."""
    from fulfil.bench.places import note_picker

    with ask.shop() as shop:
        note_picker(shop, walk, at=ask.at, person=ask.person)
    return Answer([f"Walk {walk} was picked by {ask.person}."], {"walk": walk, "picker": ask.person})


def _person(ask: Ask) -> str:
    """Nobody is signed in by default: a badge, or --by, does that."""
    return "" if ask.person == "bench" else ask.person


def _packer(at_bench: "PackBench", ask: Ask) -> str:
    """Who is at the packing bench; the bench itself where nobody has signed in."""
    return at_bench.state.person or _person(ask) or at_bench.bench


def _run(at_bench: Any, ask: Ask, station: dict[str, Any], *, after: Callable[[], list[str]]) -> int:
    from fulfil.checking.reading import PATTERN, LineReader

    from .bench_terminal import open_scale, run_bench

    reader = LineReader(station["line_pattern"] or PATTERN)
    port = open_scale(station["port"], station["baud"]) if station["port"] else None
    now = (lambda: ask.at) if station["frozen_time"] else (lambda: datetime.now().astimezone())
    return run_bench(
        at_bench,
        now=now,
        port=port,
        reader=reader,
        rings=not station["quiet"],
        is_plain=station["plain"],
        after=after,
    )


def _day(text: str) -> date | None:
    from fulfil.errors import QuantityRefused

    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise QuantityRefused("read the day", text, "a day such as 2026-03-02") from None


def _cell(value: object) -> object:
    return f"{value:.1%}" if isinstance(value, float) else value
