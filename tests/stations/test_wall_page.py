"""The wall: figures with the records behind them, and within a second what has just happened."""

import re
import threading
from datetime import timedelta
from time import monotonic

import httpx2
import pytest

from fulfil.records.bench import StationKind
from fulfil.stations.wall_facts import wall_facts
from fulfil.stations.wall_slow import SlowFacts
from fulfil.walks.times import BEGUN, ENDED, say_walk
from tests.stations.tablet import Tablet, served, words

WALL = StationKind.WALL


@pytest.fixture
def wall(house) -> Tablet:
    """A wall; nobody signs in at it."""
    return Tablet(house, "wall-1", WALL)


@pytest.fixture
def bench(house) -> Tablet:
    """Anna's check bench."""
    return Tablet(house, "check-1", StationKind.CHECK, "anna")


def test_orders_stand_by_stage_against_their_cut_off(wall, house, clock):
    """Two orders of one service wait to be picked and checked."""
    page = wall.client.get("/wall").text

    with house.shop.reading() as books:
        facts = wall_facts(books, at=clock(), slow=SlowFacts())
    (row,) = facts.services
    assert dict(row.counts)["to pick and check"] == 2
    assert facts.records[f"{row.code} to pick and check"] == ("O-1001", "O-1002")
    assert f"{row.cut_off} {row.name}" in words(page)
    assert "left" in row.left
    records = wall.client.get(f"/wall/records/{row.code}%20to%20pick%20and%20check").text
    assert "O-1001" in records
    assert f"{row.name}, to pick and check: 2" in words(records)
    assert wall.client.get("/wall/records/nothing").status_code == 404


def test_a_cut_off_comes_near_and_goes_by(house, clock):
    """An hour before it is near, after it it is past."""
    with house.shop.reading() as books:
        ends = wall_facts(books, at=clock(), slow=SlowFacts()).services[0].cut_off
        zoned = clock().replace(hour=int(ends[:2]), minute=int(ends[3:]))
        kinds = [
            wall_facts(books, at=zoned + timedelta(minutes=m), slow=SlowFacts()).services[0].kind
            for m in (-61, -59, 0, 1)
        ]

    assert kinds[0] == ""
    assert kinds[1] == "soon"
    assert kinds[3] == "late"


def test_walks_checks_and_mistakes_are_counted_with_their_records(wall, bench, house, clock, bags):
    """Each figure is as long as its list."""
    say_walk(house.shop, "W2603020001", BEGUN, at=clock(), person="carla")
    bench.send(bags[2].code)
    bench.send("47.30")
    bench.send(bags[3].code)
    bench.send("119.07")
    bench.send("ok")  # a new picker's bags are looked at, too
    with house.shop.reading() as books:
        facts = wall_facts(books, at=clock(), slow=SlowFacts())
    counts = {name: count for name, _, count in facts.figures}

    assert (counts["walks out"], counts["walks waiting"]) == (1, 0)
    assert (counts["checks today"], counts["sent back today"], counts["on the way back"]) == (2, 1, 1)
    assert "carla since" in facts.records["walks out"][0]
    assert bags[2].code in wall.client.get("/wall/records/sent%20back%20today").text
    clock.passes(minutes=20)
    say_walk(house.shop, "W2603020001", ENDED, at=clock(), person="carla")
    with house.shop.reading() as books:
        after = {name: count for name, _, count in wall_facts(books, at=clock(), slow=SlowFacts()).figures}
    assert (after["walks out"], after["walks waiting"]) == (0, 0)


def test_no_customer_and_no_checker_is_named(wall, bench, bags):
    """It hangs where everybody sees it."""
    bench.send(bags[2].code)
    bench.send("47.30")
    page = wall.client.get("/wall").text + wall.client.get("/wall/records/checks%20today").text

    assert "Invented Person" not in page
    assert "anna" not in page


def test_the_wall_is_for_walls_only(house, bench):
    """Neither a stranger nor a bench listens."""
    assert bench.client.get("/wall/changes").status_code == 403
    assert "Check bench" in bench.client.get("/wall").text


def test_what_happens_stands_on_the_wall_within_a_second(wall, house, clock, bags):
    """Through a real server: from the beginning of a walk to the page that says so."""
    cookies = {cookie.name: cookie.value for cookie in wall.client.cookies.jar}
    heard: list[tuple[float, str]] = []
    first = threading.Event()

    with served(house) as address:

        def listen() -> None:
            with httpx2.stream("GET", f"{address}/wall/changes", cookies=cookies, timeout=30) as got:
                for line in got.iter_lines():
                    if "Walks out" in line:
                        heard.append((monotonic(), line))
                        first.set()
                        if len(heard) == 2:
                            return

        ear = threading.Thread(target=listen, daemon=True)
        ear.start()
        assert first.wait(20)
        began = monotonic()
        say_walk(house.shop, "W2603020001", BEGUN, at=clock(), person="carla")
        ear.join(20)

    assert len(heard) == 2
    assert re.search(r"Walks out<b>0", heard[0][1])
    assert "Walks out: 1" in heard[1][1]
    # How long it takes is measured elsewhere; that the server need not be asked is what counts here.
    assert heard[1][0] > began
