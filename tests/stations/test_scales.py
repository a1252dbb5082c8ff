"""Scales that send by themselves: a simulated one, its relay, and the bench that weighs with it."""

import re
from decimal import Decimal

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_cli.scales.scale_relay import Relay

from fulfil.bench.devices import add_station
from fulfil.checking.reading import PATTERN, LineReader
from fulfil.errors import StateRefused, UnknownRefused
from fulfil.records.bench import StationKind
from fulfil.records.plan import Bag, BagState
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighingRecord
from tests.stations.browser import enter, sign_in, until
from tests.stations.tablet import Tablet, served, words

CHECK, SCALE = StationKind.CHECK, StationKind.SCALE


class Simulated:
    """A scale that sends its lines one after the other: swinging, steady, empty, in a form of its own."""

    def __init__(self, pattern: str = "{mass:>10} g") -> None:
        self.pattern = pattern

    def put_on(self, shown: str, *, lines: int = 4) -> list[str]:
        """The lines while a load is put on and lies still."""
        swinging = [f"{Decimal(shown) * share:.2f}" for share in (Decimal("0.4"), Decimal("1.1"))]
        return [self.pattern.format(mass=mass) for mass in [*swinging, *[shown] * lines]]

    def lift(self) -> list[str]:
        """The empty pan."""
        return [self.pattern.format(mass="0.00")] * 3


class At:
    """Seconds that the test lets pass."""

    now = 0.0

    def __call__(self) -> float:
        """The time."""
        return self.now


@pytest.fixture
def bench(house) -> Tablet:
    """Anna's check bench."""
    return Tablet(house, "check-1", CHECK, "anna")


@pytest.fixture
def scale(house, bench) -> Tablet:
    """The device of the scale beside it."""
    add_station(house.shop, "scale-1", SCALE, "code-scale-1", at=house.clock(), person="mara", serves="check-1")
    from starlette.testclient import TestClient

    from fulfil.stations.server import make_server
    from tests.stations.tablet import ORIGIN

    tablet = object.__new__(Tablet)
    tablet.house, tablet.station, tablet.kind = house, "scale-1", SCALE
    tablet.client = TestClient(make_server(house), base_url=ORIGIN, headers={"Origin": ORIGIN})
    assert tablet.client.post("/pair", data={"code": "code-scale-1"}).status_code == 200
    return tablet


def relay_of(scale: Tablet, code: str = "FINE") -> tuple[Relay, At]:
    """The relay at the bench, with its clock."""
    known = scale.client.get(f"/scale?scale={code}").json()
    at = At()

    def post(shown: str) -> str:
        return scale.client.post("/scale", data={"scale": code, "shown": shown}).json()["says"]

    return Relay(LineReader(known["line"]), Decimal(known["d_g"]), 3, post, tick=at), at


def weighings(house) -> int:
    """How many there are."""
    with house.shop.reading() as books:
        return books.count(WeighingRecord)


def test_a_bag_on_the_scale_is_weighed_once_and_only_when_steady(house, bench, scale, bags):
    """Swinging it counts nothing, lying there for long it counts once; the next bag counts again."""
    relay, at = relay_of(scale)
    bench.send(bags[2].code)
    said = []
    for line in Simulated().put_on("51.09", lines=10):
        at.now += 1
        said.append(relay.hear(line))

    assert said[:4] == ["", "", "", ""]
    assert [one for one in said if one] == [said[4]]
    assert "weighs 51.09 g, inside the window" in said[4]
    assert weighings(house) == 1
    page = bench.client.get("/check").text
    assert 'class="shown passed"' in page
    assert "the scale showed 51.09 g, inside it" in page
    for line in Simulated().lift():
        relay.hear(line)
    bench.send(bags[3].code)
    for line in Simulated().put_on("119.07"):
        relay.hear(line)
    with house.shop.reading() as books:
        assert books.need(Bag, bags[3].code).gross_g == Decimal("119.07")
        assert {one.scale_code for one in books.find(WeighingRecord)} == {"FINE"}


def test_a_bag_laid_on_before_its_label_was_scanned_is_weighed_then(house, bench, scale, bags, clock):
    """The load is told again while it lies there."""
    relay, at = relay_of(scale)
    for line in Simulated().put_on("51.09"):
        relay.hear(line)
    assert weighings(house) == 0
    clock.passes(seconds=2)
    bench.send(bags[2].code)
    clock.passes(seconds=2)
    at.now += 2
    relay.hear(Simulated().put_on("51.09")[-1])

    assert weighings(house) == 1


def test_the_wrong_scale_nobody_there_and_no_bag_weigh_nothing(house, bench, scale, bags):
    """Each said in words."""
    post = lambda **form: scale.client.post("/scale", data=form).json()  # noqa: E731
    assert post(scale="FINE", shown="51.09") == {"taken": False, "says": ""}
    bench.send(bags[2].code)
    assert post(scale="PACK", shown="51")["says"] == "That was scale PACK: put it on FINE."
    assert "That was scale PACK" in words(bench.client.get("/check").text)
    assert "scale" in post(scale="NONE", shown="51.09")["says"]
    assert scale.client.post("/scale", data={"scale": "FINE", "shown": "much"}).status_code == 400
    assert scale.client.post("/scale", data={"scale": "FINE", "shown": "NaN"}).status_code in (200, 400)
    bench.client.post("/sign-out")
    assert post(scale="FINE", shown="51.09")["says"] == "Nobody is signed in at check-1."
    assert weighings(house) == 0


def test_only_a_scale_may_post_readings(house, bench, bags):
    """A tablet of a bench is none."""
    bench.send(bags[2].code)
    assert bench.client.post("/scale", data={"scale": "FINE", "shown": "51.09"}).status_code == 403
    assert bench.client.get("/scale?scale=FINE").status_code == 403


def test_a_scale_stands_beside_a_bench(house, bench, clock):
    """Nowhere else."""
    with pytest.raises(StateRefused, match="beside nothing"):
        add_station(house.shop, "scale-2", SCALE, "c", at=clock(), person="mara")
    with pytest.raises(UnknownRefused):
        add_station(house.shop, "scale-2", SCALE, "c", at=clock(), person="mara", serves="check-77")
    with pytest.raises(StateRefused, match="beside check-1"):
        add_station(house.shop, "wall-2", StationKind.WALL, "c", at=clock(), person="mara", serves="check-1")


def test_how_the_lines_read_is_the_shops_setting(house, bench, scale, bags):
    """Another maker's lines: a mark in front while the load moves, kilograms."""
    assert scale.client.get("/scale?scale=FINE").json()["line"] == PATTERN
    with house.shop.writing() as books:
        line = r"(?P<unsteady>M)? *W(?P<mass>[0-9.]+) *(?P<unit>kg)"
        books.replace([revised(books.settings(), {"scale_line": line})])
    relay, _ = relay_of(scale)
    bench.send(bags[2].code)
    said = [relay.hear(line) for line in ("M W0.05109 kg", "nonsense", *["W0.05109 kg"] * 3)]

    assert [bool(one) for one in said] == [False, False, False, True, False]
    assert weighings(house) == 1
    with pytest.raises(ValueError, match="group named mass"):
        revised(Settings(), {"scale_line": "[0-9]+ g"})


def test_the_relay_is_paired_once_and_posts_what_it_reads(house, bench, bags, tmp_path, monkeypatch):
    """By its command, with lines on the standard input; its token is its user's alone."""
    monkeypatch.chdir(tmp_path)
    add_station(house.shop, "scale-1", SCALE, "code-scale-1", at=house.clock(), person="mara", serves="check-1")
    bench.send(bags[2].code)
    lines = "\n".join(Simulated().put_on("51.09"))
    with served(house) as address:
        words = ["scales", "relay", "FINE", "--port", "-", "--to", address]
        without = CliRunner().invoke(main, words, input=lines)
        wrong = CliRunner().invoke(main, [*words, "--code", "nonsense"], input=lines)
        paired = CliRunner().invoke(main, [*words, "--code", "code-scale-1"], input=lines)
        again = CliRunner().invoke(main, words, input="")

    assert (without.exit_code, wrong.exit_code) == (2, 2)
    assert "the pairing code that 'fulfil stations add' showed" in without.output
    assert "Scale FINE weighs for bench check-1" in paired.output
    assert "weighs 51.09 g, inside the window" in paired.output
    assert "Scale FINE weighs for bench check-1" in again.output
    assert (tmp_path / ".fulfil-scale").stat().st_mode & 0o777 == 0o600
    assert weighings(house) == 1


def test_a_verdict_by_the_scale_shows_on_the_open_page(opened, house, bags):
    """Nobody touches the tablet; a number typed instead does the same."""
    page = sign_in(opened, CHECK)
    add_station(house.shop, "scale-1", SCALE, "code-scale-1", at=house.clock(), person="mara", serves="check-1")
    import httpx2

    with httpx2.Client(base_url=opened.address, headers={"Origin": opened.address}) as client:
        client.post("/pair", data={"code": "code-scale-1"})
        enter(page, bags[2].code)
        assert client.post("/scale", data={"scale": "FINE", "shown": "51.09"}).json()["taken"]
    page.wait_for_selector(".shown.passed")
    until(page, "document.getElementById('aloud').textContent.includes('PASSED')")
    enter(page, bags[3].code)
    enter(page, "119.07")
    assert page.query_selector(".shown")
    assert re.search("119.07", page.inner_text("body"))
    with house.shop.reading() as books:
        assert books.need(Bag, bags[2].code).state is BagState.PASSED
    assert opened.said == []
