"""Walks of the harbour shop and of odd rooms: floors, turns, plans, papers, hands, times, moves, word for word."""

import json
import re
from datetime import date, datetime, time, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np
import pytest

from fulfil.bench.places import note_picker
from fulfil.documents import sheets_of
from fulfil.errors import RoomRefused
from fulfil.orders.holding import hold_order
from fulfil.records.despatch.service import Service
from fulfil.records.place import Bin, RoomElement, Side
from fulfil.records.plan import PlanRecord, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.room.walk import shortest_walk
from fulfil.store.shop import Shop
from fulfil.walks.bound_apart import main as bound_apart
from fulfil.walks.compare import compare_walks
from fulfil.walks.drawings import draw_room, draw_rooms, draw_visits, draw_walk, walk_bins
from fulfil.walks.floor import floor_of, in_walking_order
from fulfil.walks.hands import hand_over_walk, split_walk
from fulfil.walks.moves import moves_of_bins
from fulfil.walks.papers import above_bound, bound_statement, pick_stops
from fulfil.walks.plan import plan_day
from fulfil.walks.prove import keep_bound, plan_in_books
from fulfil.walks.releasing import release_walks
from fulfil.walks.room_check import check_folder, check_shop, visits_of_bins, weeks_before
from fulfil.walks.room_sheet import map_stop, room_sheet
from fulfil.walks.rooms import as_planned, batches_in, has_bound
from fulfil.walks.rush import rush_order
from fulfil.walks.times import BEGUN, ENDED, expected_seconds, say_walk, walk_times, whose_hands
from fulfil.walks.turns import approaches
from fulfil.walks.waves import schedule_walks
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, NOW, WHO, check, key, plan, release, write_catalogue
from tests.walks.test_floor import aisle, bench, cross, place
from tests.who import Who

ROOMS: dict[str, list[RoomElement]] = {
    "block": [aisle("1", 0), aisle("2", 2400), aisle("3", 5000), cross("front", 0), cross("back", 9000), bench(2400)],
    "bench-apart": [aisle("1", 0), aisle("2", 2400), cross("front", 500), cross("back", 9500), bench(1000, 500)],
    "blocks": [
        aisle("A", 0),
        aisle("B", 2000),
        aisle("C", 4500),
        cross("front", 0),
        cross("hall", 4000),
        cross("back", 9000),
        bench(2000, 4000),
        bench(4500, 0, "end"),
    ],
    "dead-ends": [
        aisle("A", 0),
        aisle("B", 2000, length_mm=3000),
        aisle("C", 4000, from_name="back", length_mm=2500),
        aisle("D", 6000, from_name="hall"),
        cross("front", 0),
        cross("hall", 4000),
        cross("middle", 6000),
        cross("back", 9000),
        bench(0, 7000),
    ],
    "one-way": [
        aisle("A", 0, is_one_way=True),
        aisle("B", 2000, is_one_way=True, from_name="back", to_name="front"),
        aisle("C", 4000),
        cross("front", 0),
        cross("back", 8000, x_mm=0, length_mm=4000),
        bench(0, 0),
    ],
    "passages": [
        bench(0, 0),
        bench(9000, 0, "end"),
        *(
            RoomElement.model_validate({"kind": "corner", "name": name, "x_mm": x, "y_mm": y})
            for name, x, y in (("north", 0, 6000), ("east", 8000, 6000), ("south", 8000, 0))
        ),
        *(
            RoomElement.model_validate(
                {"kind": "passage", "name": name, "from_name": a, "to_name": b, "length_mm": mm, "is_one_way": one}
            )
            for name, a, b, mm, one in (
                ("long", "bench", "north", 0, False),
                ("ramp", "north", "east", 9000, False),
                ("down", "east", "south", 0, True),
                ("home", "south", "bench", 0, False),
                ("out", "south", "end", 0, False),
            )
        ),
    ],
}
"""Rooms of every kind, none of them the demo's."""


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def bins_of(elements: list[RoomElement]) -> list[Bin]:
    """Bins along every way, on both sides, at places that aren't the same twice."""
    floor = floor_of(elements)
    made = []
    for number, name in enumerate(floor.aisle_names):
        way = [*floor.ways.values()][number]
        length = max(way.crossings, default=0) or max(
            abs(way.to_mm[0] - way.from_mm[0]), abs(way.to_mm[1] - way.from_mm[1])
        )
        start = floor.front_y_mm + (way.from_mm[1] if floor.way_word == "aisle" else 0)
        for step, side in ((0.13 + 0.07 * number, Side.LEFT), (0.52, Side.RIGHT), (0.52, Side.LEFT), (0.9, Side.RIGHT)):
            made.append(place(name, start + int(step * length), side, 1 + number % 3))
    return made


@pytest.mark.parametrize("name", [*ROOMS])
def test_a_room_its_sheet_and_its_turns(name: str) -> None:
    """Its floor; all bins on a walk, a third of them, and one: in which order, how one comes to each, on which hand."""
    elements = ROOMS[name]
    floor = floor_of(elements)
    told = Chronicle.__new__(Chronicle)
    told.name, told.lines = f"walks/room-{name}", []
    told.lines += [
        type(floor.room).__name__,
        *(f"{key}: {way}" for key, way in floor.ways.items()),
        f"{floor.front_y_mm} {floor.way_word}",
    ]
    every = bins_of(elements)
    for bins in (every, every[1::3], every[5:6], [*every[::5], *every[-1:]]):
        walk = shortest_walk(floor.room, [floor.stop_of(one) for one in bins])
        ordered = in_walking_order(floor, bins, walk)
        came = approaches(floor, walk.path, [floor.stop_of(one) for one in ordered])
        told.lines += ["", f"{walk.length_mm} mm past {len(bins)}: {walk.path}"]
        for one, approach in zip(ordered, came, strict=True):
            told.lines.append(
                f"  {one.code}: {approach.sentence or '…'}; {approach.hand(one.side)} hand, onward {approach.is_onward}"
            )
        shown = room_sheet(
            floor, stops=[map_stop(floor, one, no) for no, one in enumerate(ordered, start=1)], path_mm=walk.path
        )
        told.lines.append(repr(shown))
    told.lines.append(repr(room_sheet(floor)))
    orders = [[floor.stop_of(one) for one in every[index :: len(every) // 3]] for index in range(len(every) // 3)]
    for effort in ("none",) if name == "passages" else ("none", "quick"):
        planned = batches_in(
            floor.room, orders, capacity=3, weights=[1 + index % 2 for index in range(len(orders))], effort=effort
        )
        told.lines.append(
            f"{effort}: {planned.batches} {planned.walks_mm} {planned.length_mm} {planned.one_by_one_mm} "
            f"{has_bound(floor.room)}"
        )
        again = as_planned(
            floor.room, orders, planned.batches, capacity=3, weights=[1 + index % 2 for index in range(len(orders))]
        )
        told.lines.append(f"as planned: {again.batches} {again.walks_mm} {again.length_mm} {again.one_by_one_mm}")
    apart = batches_in(
        floor.room,
        orders,
        capacity=3,
        weights=[1] * len(orders),
        groups=[index % 2 for index in range(len(orders))],
        effort="none",
    )
    told.lines.append(f"apart: {apart.batches} {apart.length_mm}")
    told.is_as_recorded()


def test_rooms_that_can_not_be_laid_out() -> None:
    """Each with what is missing."""
    told = Chronicle.__new__(Chronicle)
    told.name, told.lines = "walks/no-rooms", []
    plain = ROOMS["block"]
    for elements in (
        plain[:3],
        plain[:-1],
        [*plain, bench(0, 0, "desk")],
        [*plain[:4], plain[-1]],
        [*ROOMS["passages"], plain[0]],
        [*plain[:-1], aisle("4", 7000, from_name="hall"), bench()],
        ROOMS["passages"][2:],
    ):
        try:
            floor_of(elements)
            told.lines.append("laid out")
        except RoomRefused as refusal:
            told.lines.append(str(refusal))
    try:
        floor_of(plain).stop_of(place("9", 100))
    except RoomRefused as refusal:
        told.lines.append(str(refusal))
    told.is_as_recorded()


def three_orders(shop: Shop) -> None:
    """Small, large, and one by another service."""
    key(shop, "A-1", ("SPRING-2", 20), ("PIN-08", 60), ("BELL-3", 2), note_picker="count twice")
    key(shop, "A-2", ("REED-A", 30), ("CAM-7", 4), ("SCREW-3", 50), ("DISC-21", 2), minutes=1)
    key(shop, "A-3", ("FELT-9", 40), ("KIT-D", 2), ("LACQ-10", 3), minutes=2, service_code="AIR")


def test_a_plan_and_its_papers(shop: Shop, tmp_path: Path) -> None:
    """Together, by cut-off, for one order; pick list, checklist, cart card and labels field by field."""
    told = Chronicle(shop, "walks/plan")
    three_orders(shop)
    planned, _ = plan_day(shop, day=DAY, **later(3), effort="quick")
    told.tell("together", planned)
    told.tell("goes", [planned.went(), planned.tells()])
    again, _ = plan_day(shop, day=DAY, **later(4), effort="none", by_cut_off=True)
    told.tell("by cut-off", again)
    told.tell("goes", [again.went(), again.tells()])
    only, _ = plan_day(shop, day=DAY, **later(5), effort="none", only=["A-1"])
    told.tell("of one order, that is planned", only)
    told.tell("nobody", plan_day(shop, day=DAY, **later(5), effort="none", only=["A-9"])[1])
    with shop.reading() as books:
        told.each("stops", [pick_stops(books, walk) for walk in again.walks[:1]])
    for walk in again.walks:
        for letter in ("W", "C", "K"):
            told.each(f"{letter}{walk.number[1:]}", sheets_of(shop, f"{letter}{walk.number[1:]}", at=NOW))
    told.is_as_recorded()


def test_released_and_taken_into_other_hands(shop: Shop, tmp_path: Path) -> None:
    """Printed and on paper; begun, handed over, split, ended; rush orders; who is on it."""
    told = Chronicle(shop, "walks/hands")
    three_orders(shop)
    plan(shop)
    told.each("released", release_walks(shop, [], tmp_path / "papers", **later(1)))
    told.each("again", release_walks(shop, ["W2607140001"], tmp_path / "papers", **later(2), layout="by-order"))
    told.refused(
        "what can't be",
        lambda: release_walks(shop, [], tmp_path, **WHO),
        lambda: release_walks(shop, ["W-9"], tmp_path, **WHO),
        lambda: release_walks(shop, ["W2607140001"], tmp_path, **WHO, layout="by-mood"),
        lambda: say_walk(shop, "W2607140001", ENDED, **WHO),
        lambda: hand_over_walk(shop, "W2607140001", "bo", **WHO),
        lambda: split_walk(shop, "W-9", 1, **WHO),
    )
    told.tell("begun", say_walk(shop, "W2607140001", BEGUN, at=NOW, person="piripi"))
    told.tell(
        "begun again by the same", say_walk(shop, "W2607140001", BEGUN, at=NOW + timedelta(minutes=1), person="piripi")
    )
    told.refused(
        "by another",
        lambda: say_walk(shop, "W2607140001", BEGUN, at=NOW, person="huia"),
        lambda: hand_over_walk(shop, "W2607140001", "piripi", **WHO),
        lambda: hand_over_walk(shop, "W2607140001", " ", **WHO),
    )
    told.tell("a preview", hand_over_walk(shop, "W2607140001", "huia", **later(5), is_preview=True))
    told.tell("handed over", hand_over_walk(shop, "W2607140001", " huia ", **later(5)))
    told.refused(
        "split where nothing goes",
        lambda: split_walk(shop, "W2607140001", 0, **WHO),
        lambda: split_walk(shop, "W2607140001", 99, **WHO),
    )
    told.tell("split", split_walk(shop, "W2607140001", 2, **later(6)))
    with shop.reading() as books:
        told.tell("whose", [whose_hands(books, walk.number) for walk in books.find(WalkRecord)])
    key(shop, "A-4", ("PIN-08", 9), minutes=9)
    key(shop, "A-5", ("BALL-2", 9), minutes=9)
    hold_order(shop, "A-5", "asks", **WHO)
    told.refused(
        "no rush",
        lambda: rush_order(shop, "A-5", day=DAY, **WHO),
        lambda: rush_order(shop, "A-9", day=DAY, **WHO),
        lambda: rush_order(shop, "A-1", day=DAY, **WHO),
        lambda: rush_order(shop, "A-4", day=DAY, **WHO, onto="W2607140001"),
    )
    told.tell("a preview", rush_order(shop, "A-4", day=DAY, **later(10), is_preview=True))
    told.tell("onto a walk that waits", rush_order(shop, "A-4", day=DAY, **later(10), onto="W2607140002"))
    key(shop, "A-6", ("PIN-08", 5), ("BALL-2", 2), minutes=11)
    told.tell("by itself", rush_order(shop, "A-6", day=DAY, **later(12)))
    key(shop, "A-7", ("BALL-2", 2), minutes=11)
    told.refused("nothing to be had", lambda: rush_order(shop, "A-7", day=DAY, **WHO))
    told.tell("ended", say_walk(shop, "W2607140001", ENDED, at=NOW + timedelta(minutes=20), person="huia"))
    check(shop, "A-1")
    told.refused("a walk that has left", lambda: rush_order(shop, "A-6", day=DAY, **WHO, onto="W2607140001"))
    with shop.reading() as books:
        told.tell("whose", [whose_hands(books, walk.number) for walk in books.find(WalkRecord)])
    told.is_as_recorded()


def test_times_waves_and_comparisons(shop: Shop, tmp_path: Path) -> None:
    """Six walks of six days, timed; learned; shared out; compared; which bins should change places; drawn."""
    told = Chronicle(shop, "walks/times")
    asked = (("SPRING-2", 5), ("PIN-08", 9), ("SCREW-3", 4), ("REED-A", 1), ("CAM-7", 1), ("FELT-9", 6))
    for number in range(6):
        at = NOW - timedelta(days=6 - number)
        key(shop, f"T-{number}", *asked[: 1 + number], received_at=at)
        plan(shop, at=at, day=at.date())
        (walk,) = [one for one in release(shop, tmp_path, at=at) if one.day == at.date()]
        say_walk(shop, walk.number, BEGUN, at=at, person="piripi")
        say_walk(shop, walk.number, ENDED, at=at + timedelta(seconds=150 + 31 * number), person="piripi")
        note_picker(shop, walk.number, at=at, person="piripi")
    three_orders(shop)
    plan_day(shop, day=DAY, **later(3), effort="none", by_cut_off=True)
    with shop.reading() as books:
        today = books.find(WalkRecord, day=DAY)
        told.tell("timed", walk_times(books))
        told.tell("expected", expected_seconds(books, books.find(WalkRecord)))
        half_past_nine = datetime.combine(DAY, time(9, 30), ZoneInfo(books.settings().time_zone))
        for pickers in (1, 2):
            rng = np.random.default_rng(1)
            scheduled = schedule_walks(books, day=DAY, pickers=pickers, begins=half_past_nine, rng=rng)
            told.tell(f"{pickers} go", scheduled.waves)
            told.tell(f"{pickers} go, foreseen", scheduled.foreseen)
        told.refused("nobody goes", lambda: schedule_walks(books, day=DAY, pickers=0, begins=half_past_nine, rng=rng))
        told.tell("compared", compare_walks(books, day=DAY))
        told.refused(
            "no walks",
            lambda: compare_walks(books, day=date(2020, 1, 1)),
            lambda: moves_of_bins(books, day=date(2020, 1, 1), weeks=1, most=1),
            lambda: moves_of_bins(books, day=DAY, weeks=0, most=1),
            lambda: moves_of_bins(books, day=DAY, weeks=1, most=0),
        )
        told.tell("moves", moves_of_bins(books, day=DAY, weeks=1, most=3))
        told.tell("moves of all weeks", moves_of_bins(books, day=DAY, weeks=2, most=2))
        since = weeks_before(DAY, 1)
        visits = visits_of_bins(books, since=since, until=DAY)
        told.tell("visits", [since, dict(sorted(visits.items()))])
        floor = floor_of(books.find(RoomElement))
        bins = {one.code: one for one in books.find(Bin)}
        told.tell("bins of a walk", [one.code for one in walk_bins(books, today[0])])
        for suffix in (".svg", ".png", ".pdf"):
            draw_walk(books, today[0], tmp_path / f"walk{suffix}")
            draw_visits(
                floor, visits, bins, tmp_path / f"visits{suffix}", settings=books.settings(), day=DAY, since=since
            )
        words = [re.sub(r"<[^>]+>", " ", (tmp_path / f"{one}.svg").read_text()).split() for one in ("walk", "visits")]
        told.each("drawn", [" ".join(one) for one in words])
        draw_room(floor, tmp_path / "room.svg", settings=books.settings(), day=DAY, bins=15, findings=2)
        told.tell("the room drawn", " ".join(re.sub(r"<[^>]+>", " ", (tmp_path / "room.svg").read_text()).split()))
        told.refused(
            "no drawing",
            lambda: draw_room(floor, tmp_path / "room.gif", settings=books.settings(), day=DAY, bins=1, findings=0),
        )
    told.each("room", sheets_of(shop, "room", at=NOW))
    told.is_as_recorded()


def test_a_bound_proven_by_another_process(shop: Shop, capsys: pytest.CaptureFixture[str]) -> None:
    """What it answers on its standard output; so many looks at the clock and no more."""
    three_orders(shop)
    plan(shop)
    said = []
    for looks in ("0", "1", "400"):
        bound_apart(str(shop.where), DAY.isoformat(), looks)
        said.append(json.loads(capsys.readouterr().out))
    told = Chronicle(shop, "walks/bound-apart")
    told.each("bounds", said)
    told.is_as_recorded()


def test_bounds_and_checks_of_the_room(shop: Shop, tmp_path: Path) -> None:
    """What is proven of a plan, and said; a room with faults; rooms of a folder."""
    told = Chronicle(shop, "walks/bounds")
    record = PlanRecord(day=DAY, wave=1, length_mm=10500, one_by_one_mm=20000, seed=0)
    for update in ({}, {"bound_mm": 10000}, {"bound_mm": 10500, "bound_is_closed": True}):
        told.tell(
            f"{update}", [above_bound(revised(record, update)), bound_statement([record, revised(record, update)])]
        )
    told.tell("no plan", bound_statement([]))
    told.refused("no plan", lambda: keep_bound(shop, 1, False, day=DAY, **WHO))
    three_orders(shop)
    plan(shop)
    for bound, closed in ((9000, False), (8000, True), (9500, False)):
        keep_bound(shop, bound, closed, day=DAY, **WHO)
        told.tell(f"kept {bound}")
    with shop.reading() as books:
        found = plan_in_books(books, day=DAY)
        told.tell("in the books", [found.batches, found.length_mm, found.walks_mm, found.one_by_one_mm])
        told.tell("the shop's room", check_shop(books).findings)
    bins = (
        "bin,aisle,side,section,level,y_mm,part,pieces\nT-1,Tai,left,1,1,800,PIN-08,3\nT-2,Tai,left,1,1,800,PIN-08,3\n"
        "X-1,Ra,left,1,1,800,PIN-08,3\nM-1,Mua,left,1,1,7000,PIN-08,3\n"
    )
    folder = write_catalogue(tmp_path / "rooms" / "harbour", {"bins.csv": bins})
    told.tell("with faults", check_folder(folder))
    write_catalogue(
        tmp_path / "rooms" / "second",
        {
            "bins.csv": bins.replace("X-1,Ra", "X-1,Tai")
            .replace("T-2,Tai,left,1,1,800", "T-2,Tai,left,1,1,900")
            .replace("7000", "2000")
        },
    )
    (folder / "room.csv").write_text((folder / "room.csv").read_text().replace("bench,bench", "corner,bench"))
    told.tell("without a bench", check_folder(folder))
    write_catalogue(folder)
    told.each("drawn", draw_rooms(tmp_path / "rooms", tmp_path / "drawn", settings=Settings(shop_name="x"), day=DAY))
    with shop.writing() as books:
        books.replace([revised(one, {"y_mm": one.y_mm + 300}) for one in books.find(Bin) if one.aisle == "Tai"])
        told.refused("bins moved since", lambda: plan_in_books(books, day=DAY))
        books.replace([revised(books.need(Service, "AIR"), {"is_retired": True})])
    told.is_as_recorded()
