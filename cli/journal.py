"""``fulfil journal``: who did what, when."""

import json
from typing import Any

import click

from .frame import Answer, Ask, Noun, command, table
from .numbers import BAG, ORDER, PACKAGE, WALK


@click.group(cls=Noun)
def journal() -> None:
    """Read who did what, when."""


@command(journal, "show", "fulfil journal show --order W-1001")
@click.option("--order", type=ORDER, default="", help="An order, with its bags, packages, walks and manifests.")
@click.option("--bag", type=BAG, default="", help="A bag.")
@click.option("--package", type=PACKAGE, default="", help="A package, with its bags and its manifest.")
@click.option("--walk", type=WALK, default="", help="A walk, with its bags.")
@click.option("--about", default="", help="Anything else: a bin, part, scale, manifest, job, claim, or a day.")
@click.option("--person", "who", default="", help="Only what this person did; without a time, in the last month.")
@click.option("--since", default="", help="From this day or time on, by the shop's clock: 2026-03-02T09:30.")
@click.option("--until", default="", help="Up to this day or time, included.")
@click.option("--most", type=click.IntRange(1, 100_000), default=100, show_default=True, help="The latest so many.")
def show(ask: Ask, most: int, who: str, **asked: str) -> Answer:
    """Shows who did what, when: the latest entries, the earliest of them first, by the shop's clock."""
    from fulfil.shop.journal import Asked, read_journal

    with ask.shop() as shop, shop.reading() as books:
        found = read_journal(books, Asked(**asked, person=who), now=ask.at, most=most)
        zone = books.settings().time_zone
    rows = [(told.local, told.entry.person, told.says) for told in found.entries]
    lines = table(rows, ("when", "who", "did what")) if rows else ["The journal has no entry of this."]
    lines += [f"Times are those of {zone}.", *[f"Shown: {note}." for note in found.notes]]
    entries: list[dict[str, Any]] = [
        told.entry.model_dump(mode="json")
        | {"particulars": json.loads(told.entry.particulars), "local": told.local, "says": told.says}
        for told in found.entries
    ]
    facts = {"entries": entries, "has_more": found.has_more, "time_zone": zone, "notes": list(found.notes)}
    return Answer(lines, facts)
