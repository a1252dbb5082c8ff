"""A day in a room of three cross aisles and in an odd one: plan, proof, map, pick list, schedule, times, visits."""

import csv
import json
import re
import shutil
from datetime import datetime
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_demo_catalog import FOLDER
from lxml import etree

AT = "2026-03-02T08:00+00:00"
ROOMS = ("three-cross-aisles", "odd")


class Story:
    """A shop in one of the demo's small rooms, and a way to say `fulfil …` about it."""

    plan: dict[str, Any]
    released: list[str]

    def __init__(self, folder: Path, room: str):
        self.folder, self.room = folder, room
        catalogue = folder / "catalogue"
        catalogue.mkdir()
        for name in ("scales.csv", "bags.csv", "boxes.csv", "services.csv", "settings.csv"):
            shutil.copy(FOLDER / name, catalogue)
        for name in ("room.csv", "bins.csv"):
            shutil.copy(FOLDER / "rooms" / room / name, catalogue)
        with (catalogue / "bins.csv").open(encoding="utf-8") as lines:
            self.parts = [row["part"] for row in csv.DictReader(lines)]
        with (FOLDER / "parts.csv").open(encoding="utf-8", newline="") as lines:
            rows = [row for row in csv.reader(lines) if row[0] == "part" or row[0] in set(self.parts)]
        with (catalogue / "parts.csv").open("w", encoding="utf-8", newline="") as lines:
            csv.writer(lines).writerows(rows)
        with (catalogue / "orders.csv").open("w", encoding="utf-8", newline="") as lines:
            csv.writer(lines).writerows(self.orders())

    def orders(self):
        """Twenty orders of one to three lines, spread over all bins; half of them go by post, which leaves earlier."""
        head = ("order", "received_at", "source", "name", "street", "city", "post_code", "country", "service")
        yield (*head, "part", "pieces")
        with (FOLDER / "services.csv").open(encoding="utf-8") as lines:
            services = [row["service"] for row in csv.DictReader(lines)]
        for order in range(20):
            for line in range(1 + order % 3):
                part = self.parts[(order * 17 + line * 29) % len(self.parts)]
                service = services[order % 2]
                address = [f"Invented {order}", "5 Sample Street", "Musterstadt", "10115", "DE"]
                yield [str(1000 + order), "2026-03-02T07:00:00+00:00", "web", *address, service, part, "2"]

    def __call__(self, *words, leaves=0, at=AT):
        """What the command answers."""
        told = ["--shop", str(self.folder / "shop.sqlite"), "--at", at, "--by", "mara", "--json"]
        ran = CliRunner().invoke(main, [*words, *told], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return json.loads(ran.stdout)


@pytest.fixture(scope="module", params=ROOMS)
def story(request, tmp_path_factory):
    """The shop planned for its day."""
    told = Story(tmp_path_factory.mktemp(request.param), request.param)
    told("shop", "create")
    told("catalogue", "import", str(told.folder / "catalogue"))
    told("orders", "import", str(told.folder / "catalogue" / "orders.csv"))
    told.plan = told("walks", "plan", "--effort", "quick")
    told.released = told("walks", "release", "--out", str(told.folder / "papers"))["papers"]
    return told


def text_of(path):
    """All words of a PDF file."""
    return " ".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(path))


def test_the_walks_are_compared_with_what_pickers_would_walk(story):
    """The rules that need no block are told in any room, and none is shorter."""
    told = story("walks", "compare")

    assert sorted(told["by_policy_mm"]) == ["bin order", "nearest next"]
    assert min(told["by_policy_mm"].values()) >= told["shortest_mm"] > 0


def test_the_room_is_whole(story):
    """Nothing is off in the demo's rooms, and their kind is seen from their elements."""
    checked = story("room", "check", "--folder", str(story.folder / "catalogue"))

    assert checked["findings"] == []
    assert checked["kind"] == {"three-cross-aisles": "Blocks", "odd": "WalkingGraph"}[story.room]
    assert story("room", "check")["findings"] == []


def test_every_stop_is_on_the_pick_list_with_its_turn(story):
    """The first stop says how to come to it; hands and ways are named as in this room."""
    walk = story.plan["walks"][0]["number"]
    shown = story("walks", "show", walk)["stops"]
    words = text_of(story.folder / "papers" / f"{walk}-pick-list.pdf")
    first = shown[0]

    assert [stop["stop_no"] for stop in shown] == list(range(1, len(shown) + 1))
    assert re.match(
        r"Aisle \d, from the (front|back|middle)" if story.room != "odd" else r"Passage P\d, from ", first["turn"]
    )
    assert first["turn"] in words
    assert first["bin"] in words
    assert {stop["on_your"] for stop in shown} <= {"left", "right"}


def test_turns_name_the_middle_cross_aisle(story):
    """Somewhere in the day of three cross aisles a picker turns in from the middle one, and is told where to."""
    turns = {stop["turn"] for walk in story.plan["walks"] for stop in story("walks", "show", walk["number"])["stops"]}
    if story.room == "odd":
        assert not any("isle" in turn for turn in turns)
    else:
        assert any(re.search(r"from the middle towards the (front|back)", turn) for turn in turns)


def test_the_map_is_drawn_three_ways(story):
    """SVG, PNG and PDF; the SVG shows each stop's number, an arrow head at least, and the bench."""
    walk = story.plan["walks"][-1]
    drawn = {}
    for kind in ("svg", "png", "pdf"):
        out = story.folder / f"walk.{kind}"
        assert story("walks", "map", walk["number"], "--out", str(out))["drawing"] == str(out)
        drawn[kind] = out.read_bytes()
    svg = etree.fromstring(drawn["svg"])
    words = [one.text for one in svg.iterfind(".//{*}text")]

    assert {str(number) for number in range(1, walk["stops"] + 1)} <= set(words)
    assert any(word.startswith("BENCH") for word in words)
    assert len(svg.findall(".//{*}polygon")) > 2
    assert drawn["png"].startswith(b"\x89PNG")
    assert f"Walk {walk['number']}" in text_of(story.folder / "walk.pdf")
    if story.room == "odd":
        assert {f"P{number}" for number in range(1, 10)} <= set(words)


def test_another_file_type_is_refused(story):
    """Wrong use, with the types that there are."""
    refused = story("walks", "map", story.plan["walks"][0]["number"], "--out", "walk.gif", leaves=2)

    assert "expected a name that ends in .svg, .png, .pdf" in refused["refused"]["says"]


def test_the_plan_is_proven_from_the_books(story):
    """The bound is below the plan, is written beside it, and never gets worse when asked again."""
    first = story("walks", "prove", "--seconds", "5")
    again = story("walks", "prove", "--seconds", "0")

    assert 0 < first["bound_mm"] <= first["length_mm"] == sum(walk["length_mm"] for walk in story.plan["walks"])
    assert again["length_mm"] == first["length_mm"]


def test_walks_are_shared_out_and_late_ones_named(story):
    """From eight nothing is late; a minute before the first cut-off everything is, and what helps is said."""
    early = story("walks", "schedule", "--pickers", "2", "--begin", "08:00")
    late = story("walks", "schedule", "--pickers", "1", "--begin", "15:29", leaves=1)

    assert early["remedy"] is None
    assert {turn["walk"] for turn in early["turns"]} == {walk["number"] for walk in story.plan["walks"]}
    assert early["bound"] <= early["ends"]
    assert late["remedy"]["begin_earlier_s"] == max(turn["late_s"] for turn in late["turns"]) > 0
    assert all(turn["late_s"] > 0 for turn in late["turns"] if turn["walk"] in late["remedy"]["too_long"])


def test_the_schedule_begins_now_and_says_which_service_is_at_risk(story):
    """Early nothing is at risk; so late that two pickers would just do, one alone is at risk, and help is said."""
    early = story("walks", "schedule", "--pickers", "2", at="2026-03-02T06:00+00:00")
    assert early["begins"] == "2026-03-02T07:00:00+01:00"
    assert not any(one["is_at_risk"] for one in early["services"])

    first = early["services"][0]
    limit = datetime.fromisoformat(first["must_end"])
    sure = datetime.fromisoformat(first["nine_in_ten"]) - datetime.fromisoformat(early["begins"])
    close = story("walks", "schedule", "--pickers", "1", at=(limit - sure).isoformat(), leaves=1)["services"][0]

    assert close["is_at_risk"]
    assert close["chance_late"] > first["chance_late"]
    assert close["helps"][0]["chance_late"] < close["chance_late"] - 0.01


def test_visits_are_counted_once_a_walk(story):
    """As many visits as stops of all walks; the map is drawn."""
    out = story.folder / "visits.svg"
    counted = story("room", "visits", "--weeks", "1", "--out", str(out))

    assert sum(counted["visits"].values()) == sum(walk["stops"] for walk in story.plan["walks"])
    assert etree.fromstring(out.read_bytes()).findall(".//{*}circle")


def test_never_more_moves_than_asked_for(story):
    """Each move saves walking on the day's walks; two are asked for, not more come."""
    found = story("room", "moves", "--most", "2", "--weeks", "1")

    assert len(found["moves"]) <= 2
    assert found["saved_mm"] == sum(move["saved_mm"] for move in found["moves"])
    assert all(move["saved_mm"] > 0 and move["from"] != move["to"] for move in found["moves"])


def test_times_are_learned_from_walks_that_were_timed(story):
    """A walk that has ended is out of the schedule; its time stands beside what the settings say."""
    walk = story.plan["walks"][0]["number"]
    refused = story("walks", "end", walk, leaves=2)
    story("walks", "begin", walk)
    story("walks", "end", walk, at="2026-03-02T08:20+00:00")
    timed = story("walks", "times", at="2026-03-02T08:21+00:00")

    assert "expected a walk that has begun" in refused["refused"]["says"]
    assert [(one["walk"], one["seconds"]) for one in timed["walks"]] == [(walk, 1200.0)]
    assert timed["learned"] is None
    assert walk not in {turn["walk"] for turn in story("walks", "schedule", "--pickers", "2")["turns"]}


def test_the_same_day_gives_the_same_papers(story):
    """Planned and printed again from the same orders: byte for byte."""
    again = Story.__new__(Story)
    again.folder = story.folder / "again"
    again.folder.mkdir()
    again("shop", "create")
    again("catalogue", "import", str(story.folder / "catalogue"))
    again("orders", "import", str(story.folder / "catalogue" / "orders.csv"))
    again("walks", "plan", "--effort", "quick")
    again("walks", "release", "--out", str(again.folder / "papers"))

    for path in story.released:
        name = path.rpartition("/")[2]
        assert (again.folder / "papers" / name).read_bytes() == (story.folder / "papers" / name).read_bytes()
