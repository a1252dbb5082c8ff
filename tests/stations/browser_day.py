"""The demo day typed into a real browser, as a scanner and a scale type, and held against the benches without pages.

``python -m tests.stations.browser_day [WALKS]`` drives all walks through headless Chromium, or so many of the shortest:
one tablet at the check bench, one at the packing bench, every line typed key by key, each answer waited for on the
page. Every seventh bag is wrong at first (a piece short, one too many, another finish), every third package is weighed
with a bag missing. Printed is what the day came to, how long lines took, and that the books are the same row by row.
"""

import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path
from statistics import median, quantiles
from tempfile import mkdtemp
from time import perf_counter
from typing import Any

from fulfil.orders.verify import verify_shop
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.plan import Bag, BagState
from fulfil.store.shop import Shop, open_shop
from tests.stations.browser import CHROMIUM, at_the_door, enter, needs_chromium, sign_in
from tests.stations.tablet import house_of, let_in, served
from tests.stations.test_same_books import Without, copied, drive, must_be_the_same, walks_on_paper

EVERY = 100
"""How many lines lie between two words of how far the day is."""


@dataclass
class BrowserDay:
    """What came of a day: lines typed, seconds of each until its answer stood on the page, verdicts, the books."""

    lines: int = 0
    took: list[float] = field(default_factory=list)
    verdicts: Counter[str] = field(default_factory=Counter)
    said: list[str] = field(default_factory=list)
    bags: int = 0
    passed: int = 0
    packages: int = 0
    sealed: int = 0


def browser_day(
    chromium: Any,
    path: Path,
    at: datetime,
    walks: Callable[[Shop], list[str]],
    tell: Callable[[str], None] = lambda _: None,
) -> BrowserDay:
    """Types the day of some walks; the books must be those of the benches without pages, row by row."""
    day = BrowserDay()
    plain = path.with_name("plain.sqlite")
    with open_shop(path) as shop:
        let_in(shop, at, ("anna", "check pack"))
        house = house_of(shop, lambda: at)
        with served(house) as address:
            tablets = {}
            for kind in (StationKind.CHECK, StationKind.PACK):
                opened = at_the_door(chromium, address, house)
                sign_in(opened, kind)
                tablets[kind.value] = opened
            copied(path, plain)
            with open_shop(plain) as other:
                without = Without(other, at)
                drive(without, walks(other))
            for name, line in without.lines:
                page = tablets[name].page
                began = perf_counter()
                enter(page, line)
                day.took.append(perf_counter() - began)
                shown = page.evaluate("(document.querySelector('.shown') || {className: ''}).className")
                day.verdicts[shown.removeprefix("shown ") or "no verdict"] += 1
                if len(day.took) % EVERY == 0:
                    seconds = sum(day.took[-EVERY:])
                    tell(f"{len(day.took)} of {len(without.lines)} lines, the last {EVERY} {seconds:.0f} s")
            for opened in tablets.values():
                day.said += opened.said
                opened.context.close()
        assert verify_shop(shop) == ()
        with shop.reading() as books:
            driven = walks(shop)
            day.bags = books.count(Bag, walk_number=driven)
            day.passed = books.count(Bag, walk_number=driven, state=[BagState.PASSED, BagState.PACKED])
            day.packages = books.count(Package)
            day.sealed = books.count(Package, state=PackageState.SEALED)
    day.lines = len(without.lines)
    must_be_the_same(path, plain)
    return day


def main(most: int) -> None:
    """Drives the day and prints what it came to."""
    from fulfil_demo_catalog import FOLDER
    from fulfil_demo_catalog.station_rehearsal import prepare

    began = perf_counter()
    path, at = prepare(FOLDER, Path(mkdtemp()) / "demo", {}, salt=lambda: b"s" * 16, people=())
    with needs_chromium().sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        day = browser_day(browser, path, at, lambda shop: walks_on_paper(shop)[:most], partial(print, flush=True))
        browser.close()
    print(f"{day.lines} lines, {day.passed} of {day.bags} bags passed, {day.sealed} of {day.packages} packages sealed, "
          f"the others wait for a trained person's review; {perf_counter() - began:.0f} s")  # fmt: skip
    print(", ".join(f"{count} {name}" for name, count in sorted(day.verdicts.items())))
    print(f"a line until its answer stands: median {1000 * median(day.took):.0f} ms, "
          f"95 % {1000 * quantiles(day.took, n=20)[-1]:.0f} ms")  # fmt: skip
    print(f"the same books, row by row; said on the browser's console: {day.said or 'nothing'}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
