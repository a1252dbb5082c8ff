"""Drawings of the room as files: PDF and PNG as on the papers, SVG to scale.

What is drawn: the empty room, one walk, or how often each bin was visited.
"""

from collections import Counter
from collections.abc import Mapping
from datetime import date
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.floor import read_floor
from fulfil.files.written import write_all
from fulfil.papers.door import pdf
from fulfil.papers.floor.room import RoomSheet, png, svg
from fulfil.papers.floor.route_map import MapVisits, RouteMapSheet
from fulfil.papers.sheet import head
from fulfil.quantities import print_metres
from fulfil.records.place import Bin, RoomElement
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.room.walk import shortest_walk
from fulfil.shop.asking import from_books
from fulfil.store.books import Books
from fulfil.walks.bin_places import need_bins
from fulfil.walks.floor import Floor, floor_of, in_walking_order
from fulfil.walks.room_sheet import map_stop, room_sheet

SUFFIXES = (".svg", ".png", ".pdf")
EVERY = 4
_ONE_WAY = ("Where a dashed line has open arrow heads, only that way is open.",)


def draw_room(floor: Floor, out: Path, *, settings: Settings, day: date, bins: int, findings: int) -> Path:
    """The empty room.

    Raises:
        FileRefused: the file's name doesn't end in .svg, .png or .pdf, or it can't be written.
    """
    return _write(out, _empty(floor, settings, day, bins, findings), settings)


def empty_room_sheet(books: Books, *, day: date) -> RoomSheet:
    """The shop's empty room as a page."""
    return _empty(floor_of(books.find(RoomElement)), books.settings(), day, books.count(Bin), 0)


def _empty(floor: Floor, settings: Settings, day: date, bins: int, findings: int) -> RoomSheet:
    says = () if not findings else (f"{findings} findings: see fulfil room check.",)
    facts = (f"{len(floor.aisle_names)} {floor.way_word}s", f"{bins} bins")
    return _sheet("Room", "ROOM", facts, settings, day, route_map=room_sheet(floor), says=says)


def draw_walk(books: Books, walk: WalkRecord, out: Path) -> Path:
    """One walk with its numbered stops.

    Raises:
        FileRefused: as :func:`draw_room`.
    """
    floor = floor_of(books.find(RoomElement))
    bins = walk_bins(books, walk)
    found = shortest_walk(floor.room, [floor.stop_of(place) for place in bins])
    title = f"Walk {walk.number}"
    sheet = _sheet(
        title,
        walk.number,
        (f"{walk.stops} stops", print_metres(walk.length_mm)),
        books.settings(),
        walk.day,
        route_map=room_sheet(
            floor,
            stops=[map_stop(floor, place, number) for number, place in enumerate(bins, start=1)],
            path_mm=found.path,
        ),
        says=("The line keeps to the right of the way it is walked; arrow heads point the way.",),
    )
    return _write(out, sheet, books.settings())


def draw_rooms(folders: Path, out: Path, *, settings: Settings, day: date) -> list[Path]:
    """Every room of a folder of rooms, each with a walk past every fourth of its bins, as PDF; by name.

    Raises:
        FileRefused: a room's file isn't there, or a drawing can't be written.
        RoomRefused: a room that can't be laid out.
    """
    written = []
    for folder in sorted(folder for folder in folders.glob("*") if folder.is_dir()):
        read = read_floor(folder)
        floor = floor_of(read.elements)
        visited = read.bins[::EVERY]
        walk = shortest_walk(floor.room, [floor.stop_of(place) for place in visited])
        bins = in_walking_order(floor, visited, walk)
        kind = (
            "the shortest possible route" if walk.proven else f"no walk is shorter than {print_metres(walk.bound_mm)}"
        )
        sheet = _sheet(
            "Room",
            folder.name,
            (
                f"{len(floor.aisle_names)} {floor.way_word}s",
                f"{len(read.bins)} bins",
                f"walk {print_metres(walk.length_mm)}",
            ),
            settings,
            day,
            route_map=room_sheet(
                floor,
                stops=[map_stop(floor, place, number) for number, place in enumerate(bins, start=1)],
                path_mm=walk.path,
            ),
            says=(
                f"The walk past every fourth bin: {kind}.",
                *_ONE_WAY * any(way.is_one_way for way in floor.ways.values()),
            ),
        )
        written.append(_write(out / f"{folder.name}.pdf", sheet, settings))
    return written


def draw_visits(
    floor: Floor,
    visits: Mapping[str, int],
    bins: Mapping[str, Bin],
    out: Path,
    *,
    settings: Settings,
    day: date,
    since: date,
) -> Path:
    """How often the bins were visited by released walks from ``since`` to ``day``.

    Raises:
        FileRefused: as :func:`draw_room`.
    """
    at: Counter[MapVisits] = Counter()
    for code in sorted(visits):
        place = map_stop(floor, bins[code], 1)
        at[MapVisits(x_mm=place.x_mm, y_mm=place.y_mm, times=0, side=place.side, ahead_mm=place.ahead_mm)] += visits[
            code
        ]
    shown = tuple(
        MapVisits(x_mm=one.x_mm, y_mm=one.y_mm, times=times, side=one.side, ahead_mm=one.ahead_mm)
        for one, times in sorted(at.items(), key=lambda pair: (pair[0].x_mm, pair[0].y_mm, str(pair[0].side)))
    )
    total = sum(visits.values())
    title = "Visits of bins"
    sheet = _sheet(
        title,
        "VISITS",
        (f"{total} visits of {len(visits)} bins since {since}",),
        settings,
        day,
        route_map=room_sheet(floor, visits=shown),
        says=("The area of a dot grows with the visits of the bins there; the number is that of the most visited.",),
    )
    return _write(out, sheet, settings)


def walk_bins(books: Books, walk: WalkRecord) -> list[Bin]:
    """The bins of a walk in the order of its stops."""
    number_of = {bag.bin_code: bag.stop_no for bag in books.find(Bag, walk_number=walk.number)}
    bins = need_bins(books, number_of, "find the way of walk", walk.number)
    return [bins[code] for code in sorted(number_of, key=lambda code: number_of[code])]


def _sheet(
    title: str,
    number: str,
    facts: tuple[str, ...],
    settings: Settings,
    day: date,
    *,
    route_map: RouteMapSheet,
    says: tuple[str, ...],
) -> RoomSheet:
    return RoomSheet(title=title, facts=facts, route_map=route_map, says=says, **head(settings, number, day))


def _write(out: Path, sheet: RoomSheet, settings: Settings) -> Path:
    suffix = out.suffix.lower()
    if suffix not in SUFFIXES:
        raise FileRefused("draw the room as", out, f"a name that ends in {', '.join(SUFFIXES)}")
    content = {
        ".svg": lambda: svg(sheet).encode(),
        ".png": lambda: png(sheet),
        ".pdf": lambda: pdf([sheet], page=settings.paper, printer_dpi=settings.printer_dpi),
    }[suffix]()
    return write_all(out.parent, {out.name: content})[0]


BY_NAME = (from_books(RoomSheet, lambda books, at: (empty_room_sheet(books, day=at.date()),)),)
