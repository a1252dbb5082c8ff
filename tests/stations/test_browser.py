"""The pages in a real browser: typed as a scanner types, touched, read by a screen reader's rules, cut off and back.

Skipped, with the reason, where no Chromium or no Playwright is installed.
"""

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.devices import add_station
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from tests.stations.browser import MOST_FIRST_LOAD, enter, is_sound, picture, sign_in, until
from tests.stations.tablet import PIN


@pytest.mark.slow
def test_every_state_of_the_check_bench_is_sound(opened, bags):
    """Door, empty bench, bag in hand, passed, sent back, look twice, count by hand, not taken."""
    page = opened.page
    page.goto(opened.address)
    is_sound(opened, "pairing")
    sign_in(opened, StationKind.CHECK)
    is_sound(opened, "empty bench")
    states = [
        ("bag in hand", bags[2].code, "#work .bag"),
        ("passed", "51.09", ".shown.passed"),
        ("look twice", bags[1].code, ".twice"),
        ("recount", "80.00", ".shown.recount"),
    ]
    for state, line, mark in states:
        enter(page, line)
        assert page.query_selector(mark), state
        is_sound(opened, state)
        picture(opened, "check", "tablet")
    enter(page, "let go")
    enter(page, bags[5].code)
    assert page.query_selector(".pieces [aria-label]")
    is_sound(opened, "count by hand")
    enter(page, "nonsense")
    is_sound(opened, "not taken")
    assert opened.said == []


def test_the_first_load_weighs_little_and_comes_from_here(opened, house):
    """Page, style and script together at most 50 kB, all of it from this server."""
    sign_in(opened, StationKind.CHECK)
    opened.loaded.clear()
    opened.context.clear_cookies(name="none")
    opened.page.goto(f"{opened.address}/check")
    opened.page.wait_for_load_state("networkidle")

    assert {url.removeprefix(opened.address) for url, _ in opened.loaded} >= {"/check"}
    assert all(url.startswith(opened.address) for url, _ in opened.loaded)
    from fulfil.stations.server import FILES

    page = len(opened.page.content().encode())
    assert page + sum(len(content) for content in FILES.values()) <= MOST_FIRST_LOAD


def test_a_scanner_that_types_ahead_is_heard_in_order(opened, house, bags):
    """Bag, weight, bag, weight without waiting for an answer: each once, each for its own bag."""
    page = sign_in(opened, StationKind.CHECK)
    page.keyboard.type(f"{bags[2].code}\n51.09\n{bags[3].code}\n119.07\n")
    until(page, "document.body.innerText.includes('119.07')")

    with house.shop.reading() as books:
        assert [bag.state for bag in books.find(Bag)][2:4] == [BagState.PASSED] * 2
        assert books.count(WeighingRecord) == 2


def test_the_doors_hear_a_scan_wherever_the_focus_is(opened, house):
    """Code and badge are typed before, or after, the page has put its focus: no sign of them is lost."""
    page = opened.page
    add_station(house.shop, "check-1", StationKind.CHECK, "code-check", at=house.clock(), person="mara")
    page.goto(opened.address)
    page.evaluate("document.activeElement.blur()")
    page.keyboard.type("code-check\n")
    page.wait_for_selector("#badge:focus")
    page.wait_for_load_state()
    page.evaluate("document.activeElement.blur()")
    page.keyboard.type(f"@anna\n{PIN}\n")
    page.wait_for_url("**/check")

    assert opened.said == []


def test_by_touch_alone(opened, house, bags):
    """Cart, position, bag, digits, Enter: no keyboard, no scanner."""
    page = sign_in(opened, StationKind.CHECK)
    for name in ("Cart of walk W2603020001: 8 bags", "Position 1: 4 bags", bags[2].code):
        page.get_by_role("button", name=name).click()
    page.wait_for_selector(".bag")
    for sign in ("5", "1", "decimal point", "0", "9", "Enter"):
        page.get_by_role("button", name=sign, exact=True).click()
    page.wait_for_selector(".shown.passed")

    assert page.get_by_text("PASSED", exact=True).is_visible()


def test_what_happens_is_said_aloud_and_the_scan_field_is_ready(opened, house, bags):
    """A screen reader hears verdict, reason and next step; focus stays where a scan goes."""
    page = sign_in(opened, StationKind.CHECK)
    enter(page, bags[2].code)
    enter(page, "51.09")
    until(page, "document.getElementById('aloud').textContent.includes('PASSED')")
    aloud = page.locator("#aloud")

    assert aloud.get_attribute("aria-live") == "assertive"
    assert "weighs 51.09 g, inside the window" in aloud.text_content()
    assert page.evaluate("document.activeElement.id") == "scan"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.id") != "scan"
    enter(page, bags[3].code)
    assert page.evaluate("document.activeElement.id") == "scan"


def test_a_cable_that_is_out_loses_nothing_and_doubles_nothing(opened, house, bags):
    """The answer is lost on its way: the page says what is not confirmed, asks again, and shows the one verdict."""
    page = sign_in(opened, StationKind.CHECK)
    enter(page, bags[2].code)
    cut = {"left": 2}

    def line(route) -> None:
        if cut["left"]:
            cut["left"] -= 1
            if cut["left"] == 1:
                route.fetch()  # it arrives; its answer doesn't
            route.abort()
        else:
            route.continue_()

    page.route("**/check", line)
    page.keyboard.type("51.09\n")
    page.wait_for_selector("#line-down:not([hidden])")
    warned = page.inner_text("#line-down")
    assert page.query_selector(".shown.passed") is None
    page.wait_for_selector(".shown.passed")

    assert "Not sent yet: 51.09." in warned
    assert "Don't key it again" in warned
    assert page.is_hidden("#line-down")
    with house.shop.reading() as books:
        assert books.count(WeighingRecord) == 1
        assert books.count(JournalEntry, event=Happening.BAG_CHECKED) == 1


def test_going_back_shows_the_bench_as_it_is(opened, house, bags):
    """The browser's back button never brings an old bag into the hand."""
    page = sign_in(opened, StationKind.CHECK)
    enter(page, bags[2].code)
    page.goto(f"{opened.address}/kept/mark.svg")
    page.go_back()
    page.wait_for_selector(".bag")

    assert bags[2].code in page.inner_text(".bag")


@pytest.mark.slow
def test_the_wall_is_sound_and_changes_by_itself(opened, house, bags):
    """A check at a bench stands on the wall, with nobody touching it."""
    from tests.stations.tablet import Tablet

    page = sign_in(opened, StationKind.WALL)
    is_sound(opened, "wall")
    bench = Tablet(house, "check-9", StationKind.CHECK, "anna")
    bench.send(bags[2].code)
    bench.send("47.30")
    until(page, "document.body.innerText.replace(/\\s+/g, ' ').includes('Mistakes caught today 1')")
    is_sound(opened, "wall with a mistake")
    picture(opened, "wall", "wall")
    page.get_by_role("link", name="Mistakes caught today: 1").click()
    page.wait_for_selector(".records li")
    is_sound(opened, "records")
    assert opened.said == []


def test_the_wall_says_when_it_has_heard_nothing_for_a_minute(opened, house, bags):
    """A dead spot breaks no stream: nothing comes, and nothing says that nothing will."""
    from tests.stations.tablet import Tablet

    opened.page.clock.install()
    page = sign_in(opened, StationKind.WALL)
    until(page, "document.body.innerText.includes('Checks today')")
    page.clock.fast_forward(61_000)
    page.wait_for_selector("#line-down:not([hidden])")
    assert "what stands here is old" in page.inner_text("#line-down")
    bench = Tablet(house, "check-9", StationKind.CHECK, "anna")
    bench.send(bags[2].code)
    bench.send("51.09")
    page.wait_for_selector("#line-down", state="hidden")

    assert opened.said == []


@pytest.mark.slow
def test_the_packing_bench_is_sound_and_packs_by_keyboard(opened, house, clock, bags):
    """Empty bench, box half full, all in, stopped, sealed."""
    for bag in bags[:4]:
        check_bag(house.shop, bag.code, Seen(gross_g=bag.target_g), at=clock(), person="ben")
    page = sign_in(opened, StationKind.PACK)
    is_sound(opened, "empty packing bench")
    enter(page, "O-1001")
    enter(page, bags[1].code)
    is_sound(opened, "box half full")
    picture(opened, "pack", "tablet")
    for bag in (bags[0], bags[2], bags[3]):
        enter(page, bag.code)
    is_sound(opened, "all in")
    with house.shop.reading() as books:
        (package,) = books.find(Package, order_number="O-1001")
    enter(page, f"{package.expected_g - 88:f}")
    assert page.query_selector(".shown.stop")
    is_sound(opened, "stopped")
    enter(page, f"{package.expected_g:f}")
    assert page.query_selector(".shown.sealed")
    is_sound(opened, "sealed")
    assert opened.said == []
