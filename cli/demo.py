"""``fulfil demo``: one whole day of the invented shop."""

import json
from pathlib import Path
from time import perf_counter

import click

from .frame import Answer, answer_and_leave


@click.command(epilog="Example: fulfil demo --out demo-day")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), required=True, help="Where the demo goes.")
@click.option(
    "--seed",
    type=click.IntRange(min=0),
    default=1,
    show_default=True,
    help="The simulated people's and scales' chance.",
)
@click.option("--days", type=click.IntRange(1, 5), default=1, show_default=True, help="Days; from two on, a week.")
@click.option("--json", "as_json", is_flag=True, help="Answer for programs.")
def demo(out: Path, seed: int, days: int, as_json: bool) -> None:
    """Builds the demo shop and runs one day on it: every paper as PDF, and summary.json.

    Everything in it is invented; weighings are simulated, with planted mistakes that are counted honestly.
    """
    answer_and_leave(lambda: _run(out, seed) if days == 1 else _run_week(out, seed, days), as_json)


def _run(out: Path, seed: int) -> Answer:
    began = perf_counter()
    from fulfil_demo_catalog import FOLDER
    from fulfil_demo_catalog.demo_day import run_demo

    from fulfil.files.written import write_whole

    done = run_demo(FOLDER, out, seed=seed, clock=perf_counter)
    summary = done.summary
    summary["seconds"]["all"] = round(perf_counter() - began, 3)
    write_whole(out / "summary.json", (json.dumps(summary, indent=1, ensure_ascii=False) + "\n").encode())
    lines = [
        f"One invented day in {out}: {summary['orders']} orders, {summary['lines']} lines, {summary['bags']} bags.",
        f"{summary['walks']} walks, {summary['walk_m']:.0f} m (one walk per order: {summary['one_by_one_m']:.0f} m).",
        f"{summary['mistakes_planted']} mistakes planted, {summary['mistakes_caught']} caught; "
        f"{summary['false_alarms']} false alarms in {summary['bags_checked']} bags and {summary['packages']} packages.",
        *[
            f"  missed: {missed['mistake']} at {missed['subject']}: {missed['why']}"
            for missed in summary["mistakes_missed"]
        ],
        f"{summary['manifests']} manifests closed. The carriers' bills (invented): {summary['bill_mistakes_found']} of "
        f"{summary['bill_mistakes_planted']} planted mistakes found, each with its word; the day is closed.",
        f"{len(summary['papers'])} papers in {out / 'papers'}, "
        f"{summary['seconds']['all']:.1f} s in all. Shop: {done.shop_path}",
    ]
    return Answer(lines, summary)


def _run_week(out: Path, seed: int, days: int) -> Answer:
    from fulfil_demo_catalog import FOLDER
    from fulfil_demo_catalog.demo_week import run_week

    from fulfil.files.written import write_whole

    done = run_week(FOLDER, out, seed=seed, clock=perf_counter, days=days)
    summary = done.summary
    write_whole(out / "summary.json", (json.dumps(summary, indent=1, ensure_ascii=False) + "\n").encode())
    lines = []
    for day in summary["days"]:
        sums = day["balance"]
        before = f" ({day['shipped_before']} before)" if day["shipped_before"] else ""
        lines.append(
            f"{day['day']}: {day['orders_received']} orders, {day['orders_carried_over']} carried over; ordered "
            f"{sums['ordered']} = shipped {sums['shipped']}{before} + short {sums['short']} + held {sums['held']} "
            f"+ cancelled {sums['cancelled']}; {day['pieces_made']} made, {day['pieces_delivered']} delivered."
        )
    agree = "The sums agree to the piece, every evening." if summary["sums_agree"] else "THE SUMS DO NOT AGREE."
    lines.append(f"{agree} {len(summary['papers'])} papers, {summary['seconds']['all']:.1f} s. Shop: {done.shop_path}")
    return Answer(lines, summary, must_act=not summary["sums_agree"])
