"""``fulfil day``: what is next, report, reconcile, settle, close, the month."""

from datetime import datetime
from decimal import Decimal
from pathlib import Path

import click

from .frame import Answer, Ask, Noun, command, listed, many, table

_TABLES = click.option(
    "--tables",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="A folder: its tables go there as CSV, one file each.",
)


@click.group(cls=Noun)
def day() -> None:
    """Say what is next, report, reconcile and close the day."""


@command(day, "next", "fulfil day next")
def next_(ask: Ask) -> Answer:
    """Shows what is to be done now, from the last bag checked to the closed day; the next collection comes first.

    Nothing is changed by it. A manifest that should wait says what for.
    """
    from fulfil.despatch.desk.next_steps import next_steps
    from fulfil.shop.clock import local

    with ask.shop() as shop, shop.reading() as books:
        steps = next_steps(books, at=ask.at)
        now = local(ask.at, books.settings())
    lines: list[str] = []
    for step in steps:
        head = "Then:" if step.until is None else f"{step.service_code}, {_until(step.until, now)}:"
        lines += [head] if head not in lines else []
        lines.append(f"  {step.says}")
        lines += [f"    {one}" for one in step.why]
        lines.append(f"    {f'first: {step.waits_for}; then ' if step.waits_for else ''}{step.command}")
    if not steps:
        lines.append("Nothing is to be done: the day is closed.")
    facts = [
        {
            "do": step.do,
            "about": list(step.about),
            "command": step.command,
            "service": step.service_code,
            "until": None if step.until is None else step.until.isoformat(),
            "why": list(step.why),
            "waits_for": step.waits_for,
        }
        for step in steps
    ]
    return Answer(lines, {"steps": facts}, must_act=bool(steps))


def _until(until: datetime, now: datetime) -> str:
    """When a service collects next, and how long that is from now."""
    minutes = int((until - now).total_seconds() // 60)
    if until.date() != now.date():
        return f"collected {until:%a %d %b} at {until:%H:%M}"
    hours = f"{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{minutes} min"
    return f"collected at {until:%H:%M}, in {hours}"


@command(day, "report", "fulfil day report --out papers")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print the report there.")
@_TABLES
def report(ask: Ask, out: Path | None, tables: Path | None) -> Answer:
    """Says whether ordered = shipped + short + held + cancelled, to the piece; names what doesn't balance."""
    from fulfil.despatch.day_papers import day_report_sheet
    from fulfil.despatch.report import report_day, write_frames
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        done = report_day(shop, day=ask.day(shop))
        written: list[Path] = []
        if out is not None:
            written = print_papers(shop, out, lambda books: day_report_sheet(books, done))
        written += write_frames(done, tables) if tables is not None else []
    sums = done.balance
    names = ("ordered", "shipped", "short", "held", "cancelled", "in_hand")
    lines = table([(name.replace("_", " "), getattr(sums, name)) for name in names], ("pieces", str(done.day)))
    lines.append("The day balances to the piece." if sums.is_balanced else "The day does not balance yet:")
    lines += listed(done.findings)
    lines += [f"to print: {path}" for path in written]
    facts = {
        "day": str(done.day),
        "balance": {name: getattr(sums, name) for name in names},
        "is_balanced": sums.is_balanced,
        "findings": [finding.as_dict() for finding in done.findings],
        "checks": done.checks,
        "papers": [str(path) for path in written],
    }
    return Answer(lines, facts, must_act=bool(done.findings))


@command(day, "figures", "fulfil day figures --out papers")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print them there.")
def figures(ask: Ask, out: Path | None) -> Answer:
    """Shows where the hours went, walk saved, counts proven, mistakes, shorts, cost, against the twenty days before."""
    from fulfil.despatch.figures.day_figures import day_figures
    from fulfil.despatch.figures.day_figures_paper import day_figures_sheet, said, usual
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        with shop.reading() as books:
            done = day_figures(books, ask.day(shop))
        written = [] if out is None else print_papers(shop, out, lambda books: day_figures_sheet(books, done))
    rows = [(one.name, said(one.today, one), said(usual(one), one)) for one in done.courses]
    lines = table(rows, (str(done.day), "today", f"usual, {done.days} days"))
    lines += [f"{wanted}: {taken} was likely taken, {many(bags, 'bag')}" for wanted, taken, bags in done.pairs]
    lines += [f"to print: {path}" for path in written]
    facts = {
        "day": str(done.day),
        "figures": [
            {"name": one.name, "unit": one.unit, "today": one.today, "before": list(one.before), "usual": usual(one)}
            for one in done.courses
        ],
        "pairs": [{"wanted": wanted, "taken": taken, "bags": bags} for wanted, taken, bags in done.pairs],
        "papers": [str(path) for path in written],
    }
    return Answer(lines, facts)


@command(day, "reconcile", "fulfil day reconcile --out papers --tables tables")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print it there.")
@_TABLES
@click.option("--for-spreadsheet", is_flag=True, help="With --tables: so that a spreadsheet can't spoil them.")
def reconcile(ask: Ask, out: Path | None, tables: Path | None, for_spreadsheet: bool) -> Answer:
    """Compares orders, packages, manifests, scale and carriers' bills; names each difference, largest first."""
    from fulfil.despatch.close import reconciliation_sheet, write_tables
    from fulfil.despatch.reconcile import reconcile_day
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        now = reconcile_day(shop, day=ask.day(shop))
        written: list[Path] = []
        if out is not None:
            written = print_papers(shop, out, lambda books: reconciliation_sheet(books, now))
        if tables is not None:
            written += write_tables(now, tables, for_spreadsheet=for_spreadsheet)
    lines = table(
        [(one.label, one.ours, one.theirs, "yes" if one.holds else "NO") for one in now.sums],
        ("sum", "our books", "billed or counted", "agrees"),
    )
    for one in now.differences:
        word = now.words.get(one.code)
        lines.append(f"{one.code}, {one.money or 'no money'}, {one.cause}: {one.subject}: {one.says}.")
        lines.append(f"  {word.outcome}: {word.reason}" if word else f"  Do: {one.do}.")
    if now.closed is not None:
        lines.append(f"The day is closed, by {now.closed.person}.")
    elif now.open_differences:
        count = len(now.open_differences)
        lines.append(f"{many(count, 'difference')} {'is' if count == 1 else 'are'} open.")
    else:
        lines.append("Nothing is open: the day can be closed.")
    lines += [f"to print: {path}" for path in written]
    facts = {
        "day": str(now.day),
        "sums": [{"label": one.label, "ours": one.ours, "theirs": one.theirs, "agrees": one.holds} for one in now.sums],
        "differences": now.frames["differences"].to_dict("records"),
        "costs": now.frames["costs"].to_dict("records"),
        "open": len(now.open_differences),
        "is_closed": now.closed is not None,
        "papers": [str(path) for path in written],
    }
    return Answer(lines, facts, must_act=bool(now.open_differences) and now.closed is None)


@command(day, "settle", "fulfil day settle 1A2B3C4D --reason 'credit note 17 received'")
@click.argument("codes", nargs=-1, required=True, metavar="CODE...")
@click.option("--reason", required=True, help="For the one who asks next month.")
@click.option("--carry-over", is_flag=True, help="Not settled yet: carry it over to the next day.")
def settle(ask: Ask, codes: tuple[str, ...], reason: str, carry_over: bool) -> Answer:
    """Settles differences of the day, or carries them over; all with this reason, all of them or none."""
    from fulfil.despatch.close import Word, settle_all

    words = [Word(code, reason, carry_over) for code in dict.fromkeys(codes)]
    with ask.shop() as shop:
        done = settle_all(shop, words, day=ask.day(shop), at=ask.at, person=ask.person)
    settled = [one.model_dump(mode="json") for one in done]
    return Answer(
        [f"{one.difference} is {one.outcome}: {one.says}." for one in done],
        {"settlement": settled[0], "settlements": settled},
    )


@command(day, "close", "fulfil day close", has_dry_run=True)
def close(ask: Ask) -> Answer:
    """Closes the day; refused while a difference is neither settled nor carried over, or a manifest is open."""
    from fulfil.despatch.close import close_day

    with ask.shop() as shop:
        done = close_day(shop, day=ask.day(shop), at=ask.at, person=ask.person)
    words = f"{many(done.settled, 'difference')} settled, {done.carried_over} carried over"
    lines = [
        f"{done.day} is closed: {done.shipped} of {done.ordered} pieces shipped, "
        f"{many(done.packages, 'package')}; {words}."
    ]
    return Answer(lines, {"closed": done.model_dump(mode="json")})


@command(day, "month", "fulfil day month 2026-03")
@click.argument("month", type=click.DateTime(["%Y-%m"]), required=False)
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Write its accounts there.")
def month_(ask: Ask, month: datetime | None, out: Path | None) -> Answer:
    """Shows a month day by day: orders received, packages handed over with their mass, days closed; else this month.

    Below: by service and country what was agreed and billed, settled and still expected as a credit. With --out the
    same on paper, as CSV and as a workbook, and the value of the goods by country; tax advice is local.
    """
    from fulfil.despatch.desk.accounts import CAUTION, accounts_sheet, month_accounts, write_accounts
    from fulfil.despatch.figures.month import month_days
    from fulfil.quantities import print_package_mass
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        first = (ask.day(shop) if month is None else month.date()).replace(day=1)
        days = month_days(shop, first)
        with shop.reading() as books:
            accounts = month_accounts(books, first)
        written: list[Path] = []
        if out is not None:
            written = print_papers(shop, out, lambda books: accounts_sheet(books, accounts))
            written += write_accounts(accounts, out)
    rows = [
        (f"{one.day:%a %d}", one.orders, one.packages, print_package_mass(one.weight_g), one.manifests,
         "closed" if one.closed else "open")
        for one in days
    ]  # fmt: skip
    packages, orders = sum(one.packages for one in days), sum(one.orders for one in days)
    lines = table(rows, (f"{first:%B %Y}", "orders in", "packages out", "mass", "manifests", "")) if rows else []
    lines.append(f"{first:%B %Y}: {many(orders, 'order')} in, {many(packages, 'package')} out.")
    charged = [one.as_row() for one in accounts.rows]
    lines += ["", *table([tuple(row.values()) for row in charged], tuple(charged[0]))] if charged else []
    lines += [*[f"wrote {path}" for path in written], *([CAUTION] if written else [])]
    facts = [
        {"day": str(one.day), "orders": one.orders, "packages": one.packages, "weight_g": str(one.weight_g),
         "manifests": one.manifests, "is_closed": one.closed is not None}
        for one in days
    ]  # fmt: skip
    told = {
        "month": f"{first:%Y-%m}",
        "days": facts,
        "accounts": [{name: _plain(value) for name, value in row.items()} for row in charged],
        "goods": [{name: _plain(value) for name, value in one.as_row().items()} for one in accounts.goods],
        "files": [str(path) for path in written],
    }
    return Answer(lines, told)


def _plain(value: object) -> object:
    return f"{value:f}" if isinstance(value, Decimal) else value
