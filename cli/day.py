"""``fulfil day``: reconcile and report."""

from pathlib import Path

import click

from .frame import Answer, Ask, command, listed, table


@click.group()
def day() -> None:
    """Reconcile and report the day."""


@command(day, "report", "fulfil day report --out papers")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), default=None, help="Print the report there.")
@click.option("--csv", "as_csv", is_flag=True, help="With --out: the report's tables as CSV files too.")
def report(ask: Ask, out: Path | None, as_csv: bool) -> Answer:
    """Says whether ordered = shipped + short + held + cancelled, to the piece; names what doesn't balance."""
    from fulfil.day.printing import print_report, write_frames
    from fulfil.day.report import report_day

    with ask.shop() as shop:
        done = report_day(shop, day=ask.at.date())
        written = [] if out is None else print_report(shop, done, out)
        if out is not None and as_csv:
            written += write_frames(done, out)
    sums = done.balance
    names = ("ordered", "shipped", "short", "held", "cancelled", "in_hand")
    lines = table([(name.replace("_", " "), getattr(sums, name)) for name in names], ("pieces", str(done.day)))
    lines.append("The day balances to the piece." if sums.is_balanced else "The day does not balance yet:")
    lines += listed(done.findings)
    lines += [f"printed {path}" for path in written]
    facts = {
        "day": str(done.day),
        "balance": {name: getattr(sums, name) for name in names},
        "is_balanced": sums.is_balanced,
        "findings": [finding.as_dict() for finding in done.findings],
        "checks": done.frames["checks"].to_dict("records"),
        "papers": [str(path) for path in written],
    }
    return Answer(lines, facts, must_act=bool(done.findings))
