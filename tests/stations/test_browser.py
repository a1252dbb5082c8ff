"""The pages in a real browser: typed as a scanner types, touched, read by a screen reader's rules, cut off and back.

Skipped, with the reason, where no Chromium or no Playwright is installed.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.devices import add_station
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.happening import Happening
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from tests.stations.tablet import PIN, served

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed: pip install '.[test]'")
CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""
pytestmark = pytest.mark.skipif(not CHROMIUM, reason="no chromium here: apt-get install chromium")
AXE = (Path(__file__).parent / "vendored" / "axe.min.js").read_text("utf-8")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
TARGET_PX = 44
MOST_FIRST_LOAD = 50_000
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "wall": (1920, 1080)}


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    """One browser for all tests."""
    with sync_api.sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def opened(chromium, house) -> Iterator[SimpleNamespace]:
    """The pages served, and a browser that is at their door; nothing may be said on its console."""
    said: list[str] = []
    with served(house) as address:
        context = chromium.new_context(viewport={"width": 820, "height": 1180})
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
        page.on("pageerror", lambda trouble: said.append(str(trouble)))
        loaded: list[tuple[str, int]] = []
        page.on("response", lambda got: loaded.append((got.url, int(got.headers.get("content-length", 0)))))
        yield SimpleNamespace(page=page, address=address, said=said, loaded=loaded, context=context, house=house)
        context.close()


def sign_in(opened: SimpleNamespace, kind: StationKind, person: str = "anna") -> Any:
    """Pairs the browser and signs somebody in, by keyboard alone: badge, Enter, PIN, Enter."""
    page, house = opened.page, opened.house
    add_station(house.shop, f"{kind}-1", kind, "abcd2345", at=house.clock(), person="mara")
    page.goto(opened.address)
    page.keyboard.type("abcd2345\n")
    page.wait_for_load_state()
    if kind is not StationKind.WALL:
        page.wait_for_selector("#badge")
        page.keyboard.type(f"@{person}\n{PIN}\n")
    page.wait_for_selector("h1")
    page.wait_for_url(f"**/{kind.value}")
    return page


def enter(page, line: str) -> None:
    """Types as a scanner does, wherever the focus is, and waits for the answer."""
    page.evaluate("document.getElementById('work').dataset.old = '1'")
    page.keyboard.type(f"{line}\n")
    page.wait_for_selector("#work:not([data-old])", state="attached")


def until(page, holds: str) -> None:
    """Waits until an expression holds; the policy keeps the browser from being given a function to wait with."""
    for _ in range(400):
        if page.evaluate(holds):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never: {holds}; {page.inner_text('body')[:500]}")


def violations(page) -> list[str]:
    """What axe finds, each with its place."""
    page.evaluate(AXE)
    found = page.evaluate("rules => axe.run(document, rules)", RULES)["violations"]
    return [f"{one['id']}: {node['html'][:100]} {node['failureSummary']}" for one in found for node in one["nodes"]]


def small_targets(page) -> list[str]:
    """What can be touched and is smaller than 44 px either way (WCAG 2.2, 2.5.5)."""
    return page.evaluate(
        """least => [...document.querySelectorAll('button, a, input:not([type=hidden])')]
        .filter(one => one.offsetParent !== null)
        .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < least || box.height < least)
        .map(([html, box]) => `${box.width} x ${box.height}: ${html}`)""",
        TARGET_PX,
    )


def is_sound(opened: SimpleNamespace, state: str) -> None:
    """No violation, no small target, nothing wider than the screen, at each size, by day and by night."""
    page = opened.page
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        for scheme in ("light", "dark"):
            page.emulate_media(color_scheme=scheme)
            where = f"{state}, {size}, {scheme}"
            assert violations(page) == [], where
            assert small_targets(page) == [], where
            assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), where
    page.set_viewport_size({"width": 820, "height": 1180})


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
    aloud = page.get_by_role("status")

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
    page.wait_for_selector(".shown.passed", timeout=20_000)

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
    page.get_by_role("link", name="Mistakes caught today: 1").click()
    page.wait_for_selector(".records li")
    is_sound(opened, "records")
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
