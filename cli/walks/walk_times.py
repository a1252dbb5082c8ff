"""``fulfil walks`` that are about people and time: who goes which walk when, and how long walks take."""

from datetime import datetime, time
from typing import TYPE_CHECKING

import click

from ..frame import Answer, Ask, command, table
from ..numbers import WALK
from ..telling import told_first, yes_option
from .walks import walks

if TYPE_CHECKING:
    from fulfil.shop.told import Told
    from fulfil.store.shop import Shop


def _time_of_day(ctx: click.Context, param: click.Parameter, value: str) -> time:
    try:
        return time.fromisoformat(value)
    except ValueError:
        raise click.BadParameter(f"'{value}' is no time such as 08:00") from None


@command(walks, "schedule", "fulfil walks schedule --pickers 3 --begin 08:00")
@click.option("--pickers", type=click.IntRange(1, 200), default=1, show_default=True, help="How many people walk.")
@click.option(
    "--begin",
    "begins",
    default="08:00",
    show_default=True,
    callback=_time_of_day,
    help="When they begin, local time of the shop.",
)
def schedule(ask: Ask, pickers: int, begins: time) -> Answer:
    """Says who goes which walk when, what will be late and by how much, and what would make it on time."""
    from fulfil.walks.waves import schedule_walks

    with ask.shop() as shop, shop.reading() as books:
        done = schedule_walks(books, day=ask.day(shop), pickers=pickers, begins=begins)
    shared, remedy = done.waves.shared, done.waves.remedy

    def clock(seconds: int) -> str:
        return f"{done.at(seconds):%H:%M}"

    def when(at: datetime) -> str:
        return f"{at:%H:%M}" if at.date() == done.begins.date() else f"{at:%Y-%m-%d %H:%M}"

    rows = [
        (
            turn.picker,
            turn.walk,
            clock(turn.begins_s),
            clock(turn.ends_s),
            f"{when(done.cut_offs[turn.walk])} {done.services[turn.walk].name}",
            f"{-(-turn.late_s // 60)} min late" if turn.late_s else f"{(turn.spare_s or 0) // 60} min to spare",
        )
        for turn in shared.turns
    ]
    lines = table(rows, ("picker", "walk", "begins", "ends", "cut-off", ""))
    if not rows:
        lines = ["No walk is open."]
    else:
        lines.append(
            f"All is walked at {clock(shared.ends_s)}; no way to share it out ends before {clock(shared.bound_s)}."
        )
    if remedy is not None:
        lines.append(f"{len(shared.late)} walks are late. Any of these would make all of them on time:")
        if remedy.pickers is not None:
            lines.append(f"  {remedy.pickers} pickers instead of {pickers}")
        lines.append(f"  everyone beginning {-(-remedy.begin_earlier_s // 60)} min earlier")
        if remedy.too_long:
            lines.append(f"  (no number of pickers can save {', '.join(remedy.too_long)}: longer than there is time)")
    facts = {
        "turns": [
            {
                "picker": turn.picker,
                "walk": turn.walk,
                "begins": done.at(turn.begins_s).isoformat(),
                "ends": done.at(turn.ends_s).isoformat(),
                "late_s": turn.late_s,
                "spare_s": turn.spare_s,
                "service": done.services[turn.walk].code,
            }
            for turn in shared.turns
        ],
        "waves": [
            {
                "walks": list(wave.walks),
                "release_by": done.at(wave.release_by_s).isoformat(),
                "spare_s": wave.spare_s,
                "late": wave.late,
            }
            for wave in done.waves.waves
        ],
        "ends": done.at(shared.ends_s).isoformat(),
        "bound": done.at(shared.bound_s).isoformat(),
        "is_proven": shared.is_proven,
        "remedy": None
        if remedy is None
        else {
            "pickers": remedy.pickers,
            "begin_earlier_s": remedy.begin_earlier_s,
            "too_long": list(remedy.too_long),
        },
    }
    return Answer(lines, facts, must_act=bool(shared.late))


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
