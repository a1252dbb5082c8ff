"""``fulfil scales``: the check-weight test of every day, and what each scale can count."""

from pathlib import Path

import click

from ..frame import Answer, Ask, Noun, command, folder_option
from ..numbers import SCALE


@click.group(cls=Noun)
def scales() -> None:
    """Add and change scales, test them with check weights, show what they can count."""


@command(scales, "check", "fulfil scales check BENCH-1 --weight 100 --shows 99.98 --weight 500 --shows 500.01")
@click.argument("code", type=SCALE, metavar="SCALE")
@click.option("--weight", "weights", multiple=True, required=True, help="A check weight's mass in grams; repeat it.")
@click.option("--shows", multiple=True, required=True, help="What the scale shows with it; one for each --weight.")
@click.option("--known-to", default="0", help="The check weights' own permissible error in grams.")
def check(ask: Ask, code: str, weights: tuple[str, ...], shows: tuple[str, ...], known_to: str) -> Answer:
    """Holds a scale against check weights; one that fails is stopped until it passes again."""
    from fulfil.counting.readings import read_grams
    from fulfil.counting.scale_checks import record_scale_check
    from fulfil.errors import WeighingRefused
    from fulfil.weighing.scale_check import CheckReading

    if len(weights) != len(shows):
        raise WeighingRefused("check a scale with readings", len(shows), f"one --shows for each of {len(weights)}")
    tolerance_g = read_grams(known_to, "the check weights' tolerance")
    readings = [
        CheckReading(
            read_grams(weight, "check weight"), read_grams(shown, "indication"), weight_tolerance_g=tolerance_g
        )
        for weight, shown in zip(weights, shows, strict=True)
    ]
    with ask.shop() as shop:
        done = record_scale_check(shop, code, readings, at=ask.at, person=ask.person)
    standing = done.standing
    if standing.has_passed:
        again = ", it may be used again" if done.was_stopped else ""
        left = done.allowed_share - standing.worst_share
        lines = [
            f"PASSED: scale {code}{again}; the largest error is {standing.worst_share:.0%} of the permitted one. "
            f"Windows made from now on allow for {done.allowed_share:.0%}: {left:.0%} of it is left."
        ]
    else:
        lines = [
            f"STOPPED: scale {code} is not used until it passes again.",
            *(f"  {one}" for one in done.check.reasons),
        ]
    if done.by_hand:
        lines.append(f"Count by hand until it is adjusted (their windows allow for less): {', '.join(done.by_hand)}.")
    facts = {
        **standing.model_dump(mode="json"),
        "reasons": list(done.check.reasons),
        "was_stopped": done.was_stopped,
        "allowed_share": done.allowed_share,
        "count_by_hand": list(done.by_hand),
    }
    return Answer(lines, facts, must_act=not standing.has_passed or bool(done.by_hand))


@command(scales, "acted-on", "fulfil scales acted-on BENCH-1 --reason 'adjusted, check weights passed'")
@click.argument("code", type=SCALE, metavar="SCALE")
@click.option("--reason", required=True, help="What was done about it; kept.")
def acted_on(ask: Ask, code: str, reason: str) -> Answer:
    """Says what was done about a scale that had drifted: its alarm ends, and it teaches unit weights again."""
    from fulfil.counting.scale_alarms import act_on_alarm

    with ask.shop() as shop, shop.writing() as books:
        done = act_on_alarm(books, code, reason, at=ask.at, person=ask.person)
    lines = [f"The alarm of scale {code} ends, by {done.acted_by}: {done.reason}. Next: fulfil scales check {code}."]
    return Answer(lines, {"alarm": done.model_dump(mode="json")})


@command(scales, "table", "fulfil scales table --out papers")
@folder_option
def table(ask: Ask, out: Path) -> Answer:
    """Prints what each scale for bags can count, a page a scale, for the wall over the bench."""
    from fulfil.counting.papers import need_counting_tables
    from fulfil.shop.printing import print_papers

    with ask.shop() as shop:
        written = print_papers(shop, out, lambda books: need_counting_tables(books, day=ask.day(shop)))
    return Answer([f"to print: {path}" for path in written], {"papers": [str(path) for path in written]})
