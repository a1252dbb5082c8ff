"""``fulfil room``: check and draw the room, show which bins are visited, and what should move."""

from pathlib import Path

import click

from ..frame import Answer, Ask, Noun, command, listed, table

_OUT = click.Path(path_type=Path, dir_okay=False)


@click.group(cls=Noun)
def room() -> None:
    """Check and draw the room; visits of bins, and moves that save walking."""


@command(room, "check", "fulfil room check --folder my-catalogue --out room.pdf")
@click.option(
    "--folder",
    type=click.Path(path_type=Path, file_okay=False),
    default=None,
    help="Check room.csv and bins.csv there; else the shop's room.",
)
@click.option("--out", type=_OUT, default=None, help="Draw the room into a file .svg, .png or .pdf.")
def check(ask: Ask, folder: Path | None, out: Path | None) -> Answer:
    """Finds bins out of reach, overlaps and wrong units, and draws the room."""
    from fulfil.records.settings import Settings
    from fulfil.walks.drawings import draw_room
    from fulfil.walks.room_check import check_folder, check_shop

    if folder is not None:
        done, settings = check_folder(folder), Settings(shop_name=folder.name or "The room")
        day = ask.at.date()
    else:
        with ask.shop() as shop, shop.reading() as books:
            done, settings = check_shop(books), books.settings()
            day = ask.day(shop)
    lines = []
    facts: dict[str, object] = {"findings": [finding.as_dict() for finding in done.findings], "notes": list(done.notes)}
    if done.floor is not None:
        ways = len(done.floor.aisle_names)
        kind = type(done.floor.room).__name__
        lines.append(f"{ways} {done.floor.way_word}s, {len(done.bins)} bins, {_KINDS[kind]}.")
        facts |= {"kind": kind, "ways": ways, "bins": len(done.bins)}
        if out is not None:
            written = draw_room(
                done.floor, out, settings=settings, day=day, bins=len(done.bins), findings=len(done.findings)
            )
            lines.append(f"drawn {written}")
            facts["drawing"] = str(written)
    lines += [f"note: {note}" for note in done.notes]
    lines.append(f"{len(done.findings)} findings:" if done.findings else "Nothing is off.")
    return Answer(lines + listed(done.findings), facts, must_act=bool(done.findings))


_KINDS = {
    "Block": "one block",
    "Blocks": "several blocks, or aisles of their own lengths and ways",
    "WalkingGraph": "corners and passages",
}


@command(room, "visits", "fulfil room visits --weeks 4 --out visits.pdf")
@click.option(
    "--weeks", type=click.IntRange(1, 520), default=4, show_default=True, help="Walks of so many weeks up to today."
)
@click.option("--out", type=_OUT, required=True, help="The map's file: .svg, .png or .pdf.")
def visits(ask: Ask, weeks: int, out: Path) -> Answer:
    """Draws how often each bin was visited by released walks."""
    from fulfil.records.place import Bin, RoomElement
    from fulfil.walks.drawings import draw_visits
    from fulfil.walks.floor import floor_of
    from fulfil.walks.room_check import visits_of_bins, weeks_before

    with ask.shop() as shop, shop.reading() as books:
        day = ask.day(shop)
        since = weeks_before(day, weeks)
        bins = {place.code: place for place in books.find(Bin)}
        counted = {code: times for code, times in visits_of_bins(books, since=since, until=day).items() if code in bins}
        floor = floor_of(books.find(RoomElement))
        written = draw_visits(floor, counted, bins, out, settings=books.settings(), day=day, since=since)
    most = sorted(counted.items(), key=lambda pair: (-pair[1], pair[0]))
    lines = [f"{sum(counted.values())} visits of {len(counted)} bins since {since}: {written}"]
    lines += table([(code, bins[code].part_number, times) for code, times in most[:10]], ("bin", "part", "visits"))
    return Answer(lines, {"since": str(since), "visits": dict(most), "drawing": str(written)})


@command(room, "moves", "fulfil room moves --most 5 --weeks 4")
@click.option("--most", type=click.IntRange(1, 1000), default=5, show_default=True, help="Never more moves than these.")
@click.option(
    "--weeks",
    type=click.IntRange(1, 520),
    default=4,
    show_default=True,
    help="For the walks of so many weeks up to today.",
)
def moves(ask: Ask, most: int, weeks: int) -> Answer:
    """Says which few bins should change places to save most walking, and the work of moving them."""
    from fulfil.quantities import print_metres
    from fulfil.walks.moves import moves_of_bins

    with ask.shop() as shop, shop.reading() as books:
        found = moves_of_bins(books, day=ask.day(shop), weeks=weeks, most=most)
    rows = [
        (
            move.bin.part_number,
            move.bin.code,
            move.other.code,
            move.other.part_number,
            print_metres(move.saved_mm // found.days),
            print_metres(move.carried_mm),
            f"{move.bin.level} to {move.other.level}",
            f"{move.payback_days:.1f}",
        )
        for move in found.moves
    ]
    lines = [
        f"{found.walks} walks on {found.days} days since {found.since}: "
        f"{print_metres(found.walked_mm // found.days)} a day."
    ]
    if rows:
        lines += table(
            rows,
            ("part", "from bin", "to bin", "exchanged with", "saves a day", "carried", "level", "days to pay back"),
        )
        lines.append(
            f"Together {print_metres(found.saved_mm // found.days)} a day less; {2 * len(rows)} bins to handle, "
            f"{found.carrying_s / 60:.0f} min of carrying."
        )
        lines.append("What is heavy belongs between hip and chest: lift no such bin to another level for the walking.")
    else:
        lines.append("No exchange of two bins saves walking.")
    facts = {
        "since": str(found.since),
        "days": found.days,
        "walks": found.walks,
        "walked_mm": found.walked_mm,
        "saved_mm": found.saved_mm,
        "carrying_s": round(found.carrying_s, 1),
        "moves": [
            {
                "part": move.bin.part_number,
                "from": move.bin.code,
                "to": move.other.code,
                "exchanged_with": move.other.part_number,
                "saved_mm": move.saved_mm,
                "carried_mm": move.carried_mm,
                "work_s": round(move.work_s, 1),
                "payback_days": round(move.payback_days, 2),
            }
            for move in found.moves
        ],
    }
    return Answer(lines, facts)
