"""``fulfil walks`` that are about people and time: who goes which walk when, and how long walks take."""

from datetime import datetime, time
from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, command, table
from ..numbers import WALK
from ..telling import told_first, yes_option
from .schedule_words import schedule_facts, schedule_lines
from .walks import walks

if TYPE_CHECKING:
    from fulfil.shop.told import Told
    from fulfil.store.shop import Shop
    from fulfil.walks.waves import Schedule


def _time_of_day(ctx: click.Context, param: click.Parameter, value: str | None) -> time | None:
    if value is None:
        return None
    try:
        return time.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"'{value}' is no time such as 08:00") from None


@command(walks, "schedule", "fulfil walks schedule --pickers 3")
@click.option(
    "--pickers",
    type=click.IntRange(1, 200),
    help="How many people walk, with those who are out. Without it: those who are out, at least one.",
)
@click.option(
    "--begin",
    "begins",
    callback=_time_of_day,
    help="When they begin, local time of the shop. Without it: now.",
)
def schedule(ask: Ask, pickers: int | None, begins: time | None) -> Answer:
    """Says who goes which walk when, which service is at risk, how likely, and what would help."""
    import numpy as np

    from fulfil.shop.clock import local
    from fulfil.walks.waves import schedule_walks

    with ask.shop() as shop, shop.reading() as books:
        day, now = ask.day(shop), local(ask.at, books.settings())
        begin = now if begins is None else datetime.combine(day, begins, now.tzinfo)
        done = schedule_walks(books, day=day, begins=begin, rng=np.random.default_rng(1), pickers=pickers)
    lines = [*schedule_lines(done, could_begin_earlier=begin > now), *_not_said(done)]
    at_risk = any(one.is_at_risk for one in done.foreseen)
    return Answer(lines, schedule_facts(done), must_act=bool(done.waves.shared.late) or at_risk)


def _not_said(done: "Schedule") -> list[str]:
    """Walks left out, since who is on them has begun another."""
    lines = []
    for entry in done.not_said:
        since = f"{entry.at.astimezone(done.begins.tzinfo):%H:%M}"
        lines.append(f"Walk {entry.subject} is left out: {entry.person} began it at {since} and another since.")
        lines.append(f"  If it is over, say so: fulfil walks end {entry.subject}")
    return lines


@command(walks, "begin", "fulfil walks begin W2603020001 --by mara")
@click.argument("number", type=WALK, metavar="WALK")
def begin(ask: Ask, number: str) -> Answer:
    """Says that a picker sets out on a walk; with the end, times are learned from it."""
    from fulfil.walks.times import BEGUN, say_walk

    with ask.shop() as shop:
        walk = say_walk(shop, number, BEGUN, at=ask.at, person=ask.person)
        clock = said_hour(shop, ask)
    return Answer([f"Walk {walk.number} begun by {ask.person} at {clock}."], {"walk": walk.number})


@command(walks, "end", "fulfil walks end W2603020001 --by mara")
@click.argument("number", type=WALK, metavar="WALK")
def end(ask: Ask, number: str) -> Answer:
    """Says that a walk has ended and its cart is back."""
    from fulfil.walks.times import ENDED, say_walk

    with ask.shop() as shop:
        walk = say_walk(shop, number, ENDED, at=ask.at, person=ask.person)
        clock = said_hour(shop, ask)
    return Answer([f"Walk {walk.number} ended by {ask.person} at {clock}."], {"walk": walk.number})


@command(walks, "times", "fulfil walks times")
def times(ask: Ask) -> Answer:
    """Compares how long walks took with what the settings say, and learns speed, time a line and set-up from them."""
    from fulfil.quantities import print_metres
    from fulfil.walks.times import FEWEST_WALKS, walk_times

    with ask.shop() as shop, shop.reading() as books:
        done = walk_times(books)
        settings = books.settings()
    rows = [
        (
            one.walk.number,
            print_metres(one.walk.length_mm),
            one.lines,
            f"{one.seconds / 60:.1f}",
            f"{one.expected_s / 60:.1f}",
        )
        for one in done.walks
    ]
    lines = table(rows, ("walk", "length", "lines", "took min", "settings say min")) if rows else []
    learned = done.learned
    if learned is None:
        lines.append(
            f"{len(rows)} walks timed; {FEWEST_WALKS} are needed to learn from: fulfil walks begin, walks end."
        )
    else:
        speed = "not to be told" if learned.speed_mm_s == float("inf") else f"{learned.speed_mm_s / 1000:.2f} m/s"
        lines.append(
            f"Learned from {learned.n} walks: speed {speed} (setting {settings.walk_m_per_s:.2f}), "
            f"{learned.line_s:.1f} s a line, {learned.set_up_s:.0f} s set-up (setting "
            f"{settings.setup_seconds_per_walk:.0f}); a walk scatters by {learned.residual_sd_s:.0f} s."
        )
    facts = {
        "walks": [
            {"walk": one.walk.number, "seconds": one.seconds, "expected_s": one.expected_s, "lines": one.lines}
            for one in done.walks
        ],
        "learned": None
        if learned is None
        else {
            "speed_m_per_s": None if learned.speed_mm_s == float("inf") else learned.speed_mm_s / 1000,
            "line_s": learned.line_s,
            "set_up_s": learned.set_up_s,
            "residual_sd_s": learned.residual_sd_s,
            "n": learned.n,
        },
    }
    return Answer(lines, facts)


@command(walks, "hand-over", "fulfil walks hand-over W2603020001 --to ben")
@click.argument("number", type=WALK, metavar="WALK")
@click.option("--to", required=True, help="Who goes on with it.")
@yes_option
def hand_over(ask: Ask, number: str, to: str, is_agreed: bool) -> Answer:
    """Puts a walk that somebody has begun into other hands."""
    from fulfil.walks.hands import hand_over_walk

    with ask.shop() as shop:

        def step(is_preview: bool) -> "Told":
            return hand_over_walk(shop, number, to, at=ask.at, person=ask.person, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)


@command(walks, "split", "fulfil walks split W2603020001 --after-stop 12")
@click.argument("number", type=WALK, metavar="WALK")
@click.option("--after-stop", type=click.IntRange(min=1), required=True, help="The last stop that stays on it.")
@yes_option
def split(ask: Ask, number: str, after_stop: int, is_agreed: bool) -> Answer:
    """Puts the bags of all later stops onto a walk of their own, for another picker."""
    from fulfil.walks.hands import split_walk

    with ask.shop() as shop:

        def step(is_preview: bool) -> "Told":
            return split_walk(shop, number, after_stop, at=ask.at, person=ask.person, is_preview=is_preview)

        return told_first(step, is_agreed=is_agreed)


def said_hour(shop: "Shop", ask: Ask) -> str:
    """The time of the step on the shop's clock."""
    from fulfil.shop.clock import local_hour

    with shop.reading() as books:
        return local_hour(ask.at, books.settings())
