"""The clerk's hour, played: from the last bag checked to the closed day, every line that is typed or scanned counted.

A harbour shop far from the demo: lorry inside New Zealand, small packets by post to Belgium, which need a CN 22 each.
"""

from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from fulfil.despatch.abroad.customs import enter_sdr_rate
from fulfil.despatch.pack import plan_packages
from fulfil.despatch.package_set import print_set
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.stock.levels import count_bin
from fulfil.store.shop import Shop, open_shop
from tests.clerk import Clerk
from tests.harbour_shop import DAY, NOW, PEOPLE, check, key, open_harbour, pack, plan, release, ship

NAME, CITY, POST_CODE, COUNTRY = PEOPLE[3]
ABROAD: dict[str, Any] = {
    "name": NAME,
    "city": CITY,
    "post_code": POST_CODE,
    "country": COUNTRY,
    "service_code": "POST",
}


def checked(shop: Shop, folder: Path, orders: int) -> list[str]:
    """Orders, every third abroad, whose bags have all passed."""
    enter_sdr_rate(shop, SdrRateEntry(currency="NZD", as_of=date(2026, 7, 1), per_sdr="2.20"), at=NOW, person="huia")
    numbers = [f"A-{number}" for number in range(1, orders + 1)]
    for place, number in enumerate(numbers):
        given = ABROAD if place % 3 == 0 else {}
        second = (("SCREW-3", 30),) if place % 2 else ()
        key(shop, number, ("CAM-7", 2), *second, **given)
    plan(shop)
    release(shop, folder)
    for number in numbers:
        check(shop, number)
    return numbers


def play(folder: Path, orders: int) -> tuple[Clerk, int]:
    """The whole hour; the clerk with what was typed, and the packages."""
    with open_harbour(folder) as shop:
        numbers = checked(shop, folder, orders)
        expected = {number: plan_packages(shop, number, at=NOW, person="huia").packages for number in numbers}
    clerk = Clerk(folder / "harbour.db", NOW)
    scans: list[str] = []
    for number, packages in expected.items():
        scans += [number, *(f"{one.expected_g}" for one in packages)]
    assert [row.split(",")[0] for row in clerk.types("day", "next").splitlines() if "collected" in row] == [
        "POST",
        "ROAD",
    ]
    at_bench = clerk.types("bench", "pack", "--weight-tells", "--frozen-time", "--plain", "--quiet", lines=scans)
    assert "not in the box yet" not in at_bench
    assert "lacks its CN 22" in at_bench
    out = str(folder / "papers")
    said = clerk.types("packages", "papers", "--all", "--out", out)
    assert said.count("CN 22") == (orders + 2) // 3
    for service in ("POST", "ROAD"):
        clerk.types("manifests", "close", service, "--out", out)
    assert clerk.types("day", "next").splitlines() == ["Then:", "  close the day", "    fulfil day close"]
    clerk.types("day", "close")
    return clerk, sum(len(packages) for packages in expected.values())


@pytest.mark.parametrize("orders", [3, 12])
def test_a_day_costs_seven_commands_beyond_one_scan_and_one_weighing_a_package(tmp_path: Path, orders: int) -> None:
    """However many packages there are: what is next (twice), pack, papers, two manifests, close."""
    clerk, packages = play(tmp_path, orders)
    assert clerk.lines <= 2 * packages
    assert clerk.commands == 7
    with open_shop(tmp_path / "harbour.db") as shop, shop.reading() as books:
        assert books.get(ClosedDay, DAY) is not None
        assert {package.state for package in books.find(Package)} == {PackageState.SHIPPED}


def test_a_second_despatch_leaves_the_files_of_the_first_as_they_are(tmp_path: Path) -> None:
    """30 cams to Belgium, some of them short: what follows a day later is printed into the same folder."""
    out = tmp_path / "papers"

    def printed(shop: Shop, at: datetime) -> dict[str, bytes]:
        check(shop, "A-1", at=at)
        assert all(one.state is PackageState.SEALED for one in pack(shop, "A-1", at=at))
        done = print_set(shop, out, orders=["A-1"], day=at.date(), at=at, person="huia")
        assert done.findings == ()
        ship(shop, "POST", day=at.date(), at=at)
        return {path.name: path.read_bytes() for path in done.written}

    with open_harbour(tmp_path) as shop:
        enter_sdr_rate(
            shop, SdrRateEntry(currency="NZD", as_of=date(2026, 7, 1), per_sdr="2.20"), at=NOW, person="huia"
        )
        key(shop, "A-1", ("CAM-7", 30), **ABROAD)
        plan(shop)
        release(shop, tmp_path)
        first = printed(shop, NOW)
        count_bin(shop, "WAKA-1", 20, at=NOW, person="huia")
        later = NOW + timedelta(days=1)
        plan(shop, day=later.date(), at=later)
        release(shop, tmp_path, at=later)
        second = printed(shop, later)
    assert first.keys() & second.keys() == set()
    assert any("cn22" in name or "cn23" in name for name in first)
    assert any("cn22" in name or "cn23" in name for name in second)
    assert {name: (out / name).read_bytes() for name in first} == first
