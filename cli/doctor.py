"""``fulfil doctor``: looks at what the shop stands on, or reads the report of a fault; changes nothing."""

import tempfile
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import click

from .frame import Answer, answer_and_leave


@click.command(epilog="Example: fulfil doctor --shop my-shop.sqlite")
@click.argument("report", required=False, type=click.Path(path_type=Path, dir_okay=False))
@click.option("--shop", envvar="FULFIL_SHOP", default="", help="The shop's database; else FULFIL_SHOP.")
@click.option("--papers", type=click.Path(path_type=Path), default=Path("papers"), help="Where papers go.")
@click.option("--json", "as_json", is_flag=True, help="Answer for programs.")
def doctor(report: Path | None, shop: str, papers: Path, as_json: bool) -> None:
    """Looks at programs, fonts, shop, disk, clock, leftovers: one sentence each, and what to do. Or reads a REPORT."""
    answer_and_leave(lambda: _looks(shop, papers) if report is None else _told(report), as_json)


def _looks(shop: str, papers: Path) -> Answer:
    from fulfil.shop.standing import standing

    found = standing(shop, papers, Path(tempfile.gettempdir()), at=datetime.now().astimezone())
    wrong = [one for one in found if not one.is_right]
    lines = [f"{'ok  ' if one.is_right else 'ACT '} {one.what}: {one.says}{_do(one.do)}." for one in found]
    lines.append("All is right." if not wrong else f"{len(wrong)} to act on.")
    facts = {"looks": [{"what": one.what, "says": one.says, "do": one.do} for one in found]}
    return Answer(lines, facts, must_act=bool(wrong))


def _told(report: Path) -> Answer:
    from fulfil.shop.standing import told_report

    told = told_report(report, version("fulfil"))
    return Answer([f"{told.says}{_do(told.do)}."], {"says": told.says, "do": told.do}, must_act=True)


def _do(do: str) -> str:
    return f". Do: {do}" if do else ""
