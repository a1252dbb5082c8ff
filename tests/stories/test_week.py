"""The demo week with fewer orders: carried over, made parts arriving, cancellations after release; the sums agree."""

import csv
import json
import shutil
from itertools import count
from pathlib import Path

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.demo_week import run_week

from fulfil.records.order import Order, OrderState
from fulfil.records.pulled import PulledBag
from fulfil.store.shop import open_shop

ORDERS_A_DAY = 14
SCARCE = 7
"""Every seventh bin is emptied, so that there is something to carry over (invented)."""


def _first_orders(path: Path, asked: set[str]) -> None:
    """Keeps the first orders of a file; notes which parts they ask for."""
    with path.open(encoding="utf-8", newline="") as lines:
        reader = csv.DictReader(lines)
        rows, heads = [*reader], reader.fieldnames or []
    kept = list(dict.fromkeys(row["order"] for row in rows))[:ORDERS_A_DAY]
    rows = [row for row in rows if row["order"] in kept]
    asked |= {row["part"] for row in rows}
    _write(path, heads, rows)


def _write(path: Path, heads, rows) -> None:
    with path.open("w", encoding="utf-8", newline="") as lines:
        writer = csv.DictWriter(lines, heads)
        writer.writeheader()
        writer.writerows(rows)


@pytest.fixture(scope="module")
def week(tmp_path_factory: pytest.TempPathFactory):
    """The demo shop with the parts that are asked for and fewer orders, run for five days."""
    folder = tmp_path_factory.mktemp("week")
    catalogue = Path(shutil.copytree(FOLDER, folder / "catalogue", ignore=shutil.ignore_patterns("*.py", "rooms")))
    (catalogue / "orders_phone.json").unlink()
    asked: set[str] = set()
    for path in (catalogue / "orders.csv", *sorted((catalogue / "week").glob("*.csv"))):
        _first_orders(path, asked)
    for name in ("parts.csv", "bins.csv"):
        with (catalogue / name).open(encoding="utf-8", newline="") as lines:
            reader = csv.DictReader(lines)
            rows = [row for row in reader if row["part"] in asked]
            heads = reader.fieldnames or []
        for place, row in enumerate(rows):
            if name == "bins.csv" and place % SCARCE == 0:
                row["pieces"] = "0"
        _write(catalogue / name, heads, rows)
    clock = map(float, count()).__next__
    done = run_week(catalogue, folder / "out", seed=3, clock=clock, days=5, effort="none")
    return folder / "out", done.shop_path, done.summary


@pytest.mark.slow
def test_the_sums_agree_every_evening(week) -> None:
    """Ordered = shipped + short + held + cancelled; every piece that came is on hand, in a bag, or sent."""
    _, _, summary = week

    assert [day["day"] for day in summary["days"]] == [f"2026-03-0{n}" for n in range(2, 7)]
    for day in summary["days"]:
        sums = day["balance"]
        placed = sums["shipped"] + sums["short"] + sums["held"] + sums["cancelled"]
        assert (sums["ordered"], sums["in_hand"]) == (placed, 0)
        pieces = day["pieces"]
        rest = pieces["on_hand"] + pieces["in_bags"] + pieces["shipped"] + pieces["pulled"] + pieces["gone"]
        assert pieces["came"] == rest
        assert day["ledger_gives_levels"]
    assert summary["sums_agree"]
    sent = [day["balance"]["shipped"] - day["shipped_before"] for day in summary["days"]]
    assert [sum(sent[: place + 1]) for place in range(5)] == [day["pieces"]["shipped"] for day in summary["days"]]
    assert any(day["shipped_before"] for day in summary["days"])


@pytest.mark.slow
def test_the_week_carries_over_makes_delivers_and_pulls(week) -> None:
    """Each of the things that the week is there to show did happen."""
    _, shop_path, summary = week
    days = summary["days"]

    assert all(day["orders_received"] == ORDERS_A_DAY for day in days)
    assert sum(day["orders_carried_over"] for day in days[1:]) > 0
    assert sum(day["pieces_made"] for day in days) > 0
    assert sum(day["orders_completed_by_made_parts"] for day in days) > 0
    assert sum(day["pieces_delivered"] for day in days[2:]) > 0
    cancelled = [number for day in days for number in day["cancelled_after_release"]]
    assert len(cancelled) == 5
    with open_shop(shop_path) as shop, shop.reading() as books:
        assert {order.state for order in books.find(Order, number=cancelled)} == {OrderState.CANCELLED}
        pulled = books.find(PulledBag)
    assert {bag.order_number for bag in pulled} >= set(cancelled)
    assert all(bag.is_back and bag.put_back_pieces == bag.pieces for bag in pulled)


@pytest.mark.slow
def test_every_paper_of_the_week_is_there(week) -> None:
    """Make lists, buy lists, pull slips, notes and manifests are files that begin as PDFs do."""
    out, _, summary = week
    kinds = ("make-list", "buy-list", "pull-slip", "partial-note", "manifest", "day-report", "pick-list")

    assert [kind for kind in kinds if not any(kind in path for path in summary["papers"])] == []
    assert all((out / path).read_bytes().startswith(b"%PDF") for path in summary["papers"])
    assert json.dumps(summary)
