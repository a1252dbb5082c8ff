"""Verbs that meet an exception of the day: they say what they will do before they do it.

At a terminal the sentences are shown and a person says yes; anywhere else nothing is done without ``--yes``.
"""

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

import click

from .frame import Answer
from .saying import say

if TYPE_CHECKING:
    from fulfil.shop.told import Told

yes_option = click.option(
    "--yes", "is_agreed", is_flag=True, help="Do it; without this, it only says what it would do."
)


def told_first(step: "Callable[[bool], Told]", *, is_agreed: bool) -> Answer:
    """Runs ``step(is_preview)``: for show, and for good when a person agrees."""
    if not is_agreed:
        shown = step(True)
        if not (sys.stdin.isatty() and sys.stdout.isatty()):
            lines = ["This would happen:", *_indented(shown), "Nothing is changed yet: say it again with --yes."]
            return Answer(lines, {"is_done": False, "tells": [*shown.tells]}, must_act=True)
        for line in _indented(shown):
            say(line)
        if not click.confirm("Do it?"):
            return Answer(["Nothing was changed."], {"is_done": False, "tells": [*shown.tells]}, must_act=True)
    done = step(False)
    facts = {"is_done": True, "tells": [*done.tells], "walks": [*done.walks], "order": done.order_number}
    return Answer([*done.tells], facts)


def _indented(told: "Told") -> list[str]:
    return [f"  {tell}" for tell in told.tells]
