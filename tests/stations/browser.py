"""A real browser for the pages' tests: one Chromium and one server for the whole run, each test with its own shop.

Skipped, with the reason, where no Chromium or no Playwright is installed.
"""

import os
import shutil
from io import BytesIO
from pathlib import Path
from time import monotonic
from types import SimpleNamespace
from typing import Any

import pytest
from PIL import Image

from fulfil.bench.devices import add_station
from fulfil.records.bench import StationKind
from fulfil.stations.house import House
from tests.stations.tablet import PIN

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or ""
AXE = (Path(__file__).parent / "vendored" / "axe.min.js").read_text("utf-8")
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}
IN_THE_DARK = {"runOnly": {"type": "rule", "values": ["color-contrast"]}}
"""By night only the colours are others."""
TARGET_PX = 44
MOST_FIRST_LOAD = 50_000
PICTURES = Path(__file__).parents[2] / ".pictures"
PICTURE_PX, MOST_PICTURE_BYTES = 900, 60_000
PATIENCE_S = 180
"""How long anything is waited for that must hold: long, since other work may have the machine; never a fixed pause."""
SIZES = {"phone": (390, 844), "tablet": (820, 1180), "wall": (1920, 1080)}


def needs_chromium() -> Any:
    """Playwright, where there is a Chromium to drive; else the test is skipped."""
    if not CHROMIUM:
        pytest.skip("no chromium here: apt-get install chromium")
    return pytest.importorskip("playwright.sync_api", reason="playwright is not installed: pip install '.[test]'")


def at_the_door(chromium: Any, address: str, house: House, *, width: int = 820, height: int = 1180) -> SimpleNamespace:
    """A browser of its own at the pages' door; what is said on its console is kept."""
    said: list[str] = []
    loaded: list[tuple[str, int]] = []
    context = chromium.new_context(viewport={"width": width, "height": height})
    context.set_default_timeout(1000 * PATIENCE_S)
    page = context.new_page()
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda trouble: said.append(str(trouble)))
    page.on("response", lambda got: loaded.append((got.url, int(got.headers.get("content-length", 0)))))
    return SimpleNamespace(page=page, address=address, said=said, loaded=loaded, context=context, house=house)


def sign_in(opened: SimpleNamespace, kind: StationKind, person: str = "anna") -> Any:
    """Pairs the browser and signs somebody in, by keyboard alone: badge, Enter, PIN, Enter."""
    page, house = opened.page, opened.house
    code = f"code-{kind}"
    add_station(house.shop, f"{kind}-1", kind, code, at=house.clock(), person="mara")
    page.goto(opened.address)
    page.wait_for_selector("#code:focus")
    page.keyboard.type(f"{code}\n")
    if kind is not StationKind.WALL:
        show_badge(page, person)
    page.wait_for_url(f"**/{kind.value}")
    page.wait_for_selector("h1")
    return page


def show_badge(page: Any, person: str) -> None:
    """Badge, Enter, PIN, Enter, as soon as the page is there with its script and listens."""
    page.wait_for_selector("#badge:focus")
    page.wait_for_load_state()
    page.keyboard.type(f"@{person}\n{PIN}\n")


def enter(page, line: str) -> None:
    """Types as a scanner does, wherever the focus is, and waits until the answer to this line stands on the page.

    A page may be put in place for news as well, so that a new page alone is no answer.
    """
    page.evaluate("document.getElementById('work').dataset.old = '1'")
    with page.expect_response(lambda got: got.request.method == "POST" and got.url.endswith(("/check", "/pack"))):
        page.keyboard.type(f"{line}\n")
    page.wait_for_selector("#work:not([data-old]):not(.sending)", state="attached")


def until(page, holds: str) -> None:
    """Waits until an expression holds; the policy keeps the browser from being given a function to wait with."""
    ends = monotonic() + PATIENCE_S
    while monotonic() < ends:
        if page.evaluate(holds):
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"never: {holds}; {page.inner_text('body')[:500]}")


def violations(page: Any, rules: Any = RULES) -> list[str]:
    """What axe finds, each with its place."""
    page.evaluate(AXE)
    found = page.evaluate("rules => axe.run(document, rules)", rules)["violations"]
    return [f"{one['id']}: {node['html'][:100]} {node['failureSummary']}" for one in found for node in one["nodes"]]


def small_targets(page) -> list[str]:
    """What can be touched and is smaller than 44 px either way (WCAG 2.2, 2.5.5)."""
    return page.evaluate(
        """least => [...document.querySelectorAll('button, a, select, summary, input:not([type=hidden])')]
        .filter(one => one.offsetParent !== null)
        .map(one => [one.outerHTML.slice(0, 80), one.getBoundingClientRect()])
        .filter(([, box]) => box.width < least || box.height < least)
        .map(([html, box]) => `${box.width} x ${box.height}: ${html}`)""",
        TARGET_PX,
    )


def broken_codes(page) -> list[str]:
    """Codes, names and options that stand on two lines though they fit on one."""
    return page.evaluate(
        r"""() => {
          const found = [], all = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
          while (all.nextNode()) {
            const node = all.currentNode, around = node.parentElement;
            if (!around.checkVisibility() || around.closest('option, svg, script, .aloud')) continue;
            for (const word of node.data.matchAll(/\S*[-\/]\S*/g)) {
              if (!/^--\w/.test(word[0]) && !/\w[-\/]\S*\w/.test(word[0])) continue;
              if (!/^--|\d|\p{Lu}/u.test(word[0])) continue;
              const range = document.createRange();
              range.setStart(node, word.index);
              range.setEnd(node, word.index + word[0].length);
              const boxes = [...range.getClientRects()].filter((box) => box.width > 0);
              const lines = new Set(boxes.map((box) => Math.round(box.top))).size;
              const wide = boxes.reduce((sum, box) => sum + box.width, 0);
              const room = around.closest('p, li, td, th, h1, h2, h3, button, a, div, section, label, summary');
              if (lines > 1 && wide < room.clientWidth * .9) found.push(word[0]);
            }
          }
          return found;
        }"""
    )


def is_sound(opened: SimpleNamespace, state: str) -> None:
    """No violation, no small target, no broken code, nothing wider than the screen; colours by night, too."""
    page = opened.page
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.emulate_media(color_scheme="light")
        where = f"{state}, {size}"
        assert violations(page) == [], where
        assert small_targets(page) == [], where
        assert broken_codes(page) == [], where
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), where
    page.set_viewport_size({"width": 820, "height": 1180})
    page.emulate_media(color_scheme="dark")
    assert violations(page, IN_THE_DARK) == [], f"{state}, by night"
    page.emulate_media(color_scheme="light")


def picture(opened: SimpleNamespace, name: str, size: str) -> None:
    """Keeps a page's picture for the README, where that is asked for (``FULFIL_WRITE_PICTURES=1``)."""
    if os.environ.get("FULFIL_WRITE_PICTURES") != "1":
        return
    page = opened.page
    width, height = SIZES[size]
    page.set_viewport_size({"width": width, "height": height})
    shot = Image.open(BytesIO(page.screenshot()))
    shot.thumbnail((PICTURE_PX, PICTURE_PX))
    path = PICTURES / f"{name}.png"
    path.parent.mkdir(exist_ok=True)
    shot.convert("RGB").quantize(32).save(path, optimize=True)
    assert path.stat().st_size <= MOST_PICTURE_BYTES, path
    page.set_viewport_size({"width": 820, "height": 1180})
