"""A scale at the tablet's own serial port: simulated in a real browser, and what the bench makes of its lines."""

import pytest

from fulfil.records.bench import StationKind
from fulfil.records.plan import Bag, BagState
from fulfil.records.revised import revised
from fulfil.records.weighing import WeighingRecord
from tests.stations.browser import enter, is_sound, sign_in, until
from tests.stations.tablet import Tablet

CHECK = StationKind.CHECK
PORT = """
(() => {
  let feed;
  const port = {
    open: async (how) => { window.openedWith = how.baudRate; },
    readable: new ReadableStream({ start(controller) { feed = controller; } }),
  };
  window.send = (...lines) => lines.forEach((line) => feed.enqueue(new TextEncoder().encode(line)));
  window.pullTheCable = () => feed.close();
  Object.defineProperty(navigator, "serial", { value: { getPorts: async () => [], requestPort: async () => port } });
})();
"""
"""A port as Web Serial gives it: it opens at a speed, and its bytes come as a stream, cut anywhere."""


@pytest.fixture
def plugged(opened):
    """A check bench whose browser has a serial port."""
    opened.page.add_init_script(PORT)
    sign_in(opened, CHECK).get_by_text("Scale by cable").click()
    return opened


def weighings(house) -> int:
    """How many there are in the books."""
    with house.shop.reading() as books:
        return books.count(WeighingRecord)


def test_a_bag_is_weighed_by_the_scale_at_the_port(plugged, house, bags):
    """Swinging, then steady, cut in the middle of a line: one weighing; lifted, the next bag; the cable out is said."""
    page = plugged.page
    page.select_option("#plug-baud", "4800")
    page.get_by_role("button", name="Read this scale").click()
    until(page, "window.openedWith === 4800")
    enter(page, bags[2].code)
    page.evaluate("send(' 40.11 g\\r\\n 52.00 g\\r\\n 51.', '09 g\\r\\n', ...Array(5).fill(' 51.09 g\\r\\n'))")
    page.wait_for_selector(".shown.passed")
    page.wait_for_timeout(200)
    assert weighings(house) == 1
    page.evaluate("send(...Array(4).fill('  0.00 g\\r\\n'))")
    enter(page, bags[3].code)
    page.evaluate("send(...Array(4).fill(' 119.07 g\\r\\n'))")
    until(page, "document.body.innerText.includes('119.07')")
    is_sound(plugged, "a scale at the port")
    page.evaluate("pullTheCable()")
    until(page, "document.getElementById('plug-says').textContent.includes('not read')")

    with house.shop.reading() as books:
        assert books.need(Bag, bags[2].code).state is BagState.PASSED
    assert weighings(house) == 2
    assert plugged.said == []


def test_a_load_that_lay_there_before_its_bag_is_weighed_once_the_bag_is_in_hand(plugged, house, bags):
    """First on the scale, then scanned: the line is sent again while the load lies there."""
    page = plugged.page
    page.get_by_role("button", name="Read this scale").click()
    page.evaluate("setInterval(() => send(' 51.09 g\\r\\n'), 100)")
    page.wait_for_timeout(600)
    assert weighings(house) == 0
    enter(page, bags[2].code)
    page.wait_for_selector(".shown.passed")

    assert weighings(house) == 1


def test_without_a_port_nothing_of_it_is_shown(opened):
    """A browser that can't has no button for it."""
    opened.page.add_init_script("delete Navigator.prototype.serial")
    page = sign_in(opened, CHECK)

    assert page.is_hidden("[data-plug]")


def test_lines_read_by_the_shops_pattern_for_who_is_signed_in(house, bags):
    """Another maker's lines; one that moves, nonsense, an unknown scale, nobody there, another kind of station."""
    with house.shop.writing() as books:
        line = r"(?P<unsteady>M)? *W(?P<mass>[0-9.]+) *(?P<unit>kg)"
        books.replace([revised(books.settings(), {"scale_line": line})])
    bench = Tablet(house, "check-1", CHECK, "anna")
    bench.send(bags[2].code)

    def post(line: str, scale: str = "FINE") -> dict:
        return bench.client.post("/bench/scale", data={"scale": scale, "line": line}).json()

    moving, nonsense, unknown = post("M W0.05109 kg"), post("nonsense"), post("W0.05109 kg", "NONE")
    taken, again = post("W0.05109 kg"), post("W0.05109 kg")
    bench.client.post("/sign-out")
    nobody = post("W0.05109 kg")
    wall = Tablet(house, "wall-1", StationKind.WALL)
    other = wall.client.post("/bench/scale", data={"scale": "FINE", "line": "W0.05109 kg"})

    assert [one["taken"] for one in (moving, nonsense, unknown, taken, again, nobody)] == [False] * 3 + [
        True, False, False
    ]  # fmt: skip
    assert "NONE" in unknown["says"]
    assert "Nobody is signed in" in nobody["says"]
    assert other.status_code == 403
    assert weighings(house) == 1
