"""The stock around an order: rejects, counts, reorder points; customers forgotten, two stations at once."""

from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.despatch.desk.forgetting import forget_customers
from fulfil.despatch.desk.forgotten_papers import FORGOTTEN
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.errors import StateRefused
from fulfil.planning.allocation import Rule
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Supply
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.plan import Bag
from fulfil.stock.jobs import make_jobs
from fulfil.stock.levels import (
    adjust_bin,
    count_bin,
    ledger_levels,
    level_frame,
    movement_frame,
    receive,
    reject_pieces,
    reorder_frame,
    reorder_point,
)
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from tests.orders.life.steps import DAY, NOW, WHO, check_all, found, one, order, pieces_agree, plan, send


def test_rejects_leave_their_bin_and_made_ones_go_onto_the_make_list(shop: Shop) -> None:
    """Four bad gears become a job, bad nuts only leave."""
    done = reject_pieces(shop, "bin-GEAR", 4, "burred teeth", day=DAY, **WHO)
    assert (done.after, done.job.pieces, done.job.reason) == (5, 4, "rejected: burred teeth")
    assert reject_pieces(shop, "bin-NUT", 2, "no thread", day=DAY, **WHO).job is None
    assert [job.part_number for job in make_jobs(shop, Supply.MAKE, day=DAY, **WHO)] == ["GEAR"]
    with pytest.raises(StateRefused):
        reject_pieces(shop, "bin-GEAR", 6, "more than there are", day=DAY, **WHO)
    assert pieces_agree(shop)


def test_a_count_below_what_is_promised_says_who_waits(shop: Shop) -> None:
    """10 of 50 promised pieces are there: the order is named, and the next plan promises no more than 10."""
    order(shop, "A-1", ("BALL", 50))
    plan(shop)
    done = count_bin(shop, "bin-BALL", 10, **WHO)

    assert (done.before, done.after) == (400, 10)
    assert [str(finding) for finding in done.findings] == [
        "bin bin-BALL, pieces '10': 50 pieces are promised to A-1, the bin holds 10. "
        "Do: plan again before release (fulfil walks plan)."
    ]
    plan(shop)
    assert sum(bag.pieces for bag in found(shop, Bag)) == 10
    assert one(shop, OrderLine, "A-1", 1).short_pieces == 40


def test_every_change_has_a_reason_and_levels_come_from_the_ledger(shop: Shop) -> None:
    """Counts, adjustments and deliveries; their sum is each bin's level."""
    adjust_bin(shop, "bin-NUT", -3, "used for the display", **WHO)
    receive(shop, "bin-NUT", 20, "delivery note 7", **WHO)
    with pytest.raises(StateRefused, match="a change and a reason"):
        adjust_bin(shop, "bin-NUT", 5, " ", **WHO)
    with pytest.raises(StateRefused, match="at most its 107 pieces"):
        adjust_bin(shop, "bin-NUT", -108, "stolen", **WHO)
    with shop.reading() as books:
        assert ledger_levels(books) == {"bin-BALL": 400, "bin-GEAR": 9, "bin-NUT": 107}
        row = level_frame(books, ["NUT"]).to_dict("records")
    assert row == [{"part": "NUT", "on_hand": 107, "promised": 0, "free": 107, "short": 0, "to_come": 0}]


def test_reorder_point_of_a_worked_example() -> None:
    """Mean 10 and s.d. 3.27 a week, two weeks' lead, 95 %: 20 + 1.645 · 3.27 · √2 = 27.6, so 28.

    The formula is that of Silver, Pyke & Peterson (1998), section 7.4; the figures are our own.
    """
    assert reorder_point([10, 14, 6, 10], lead_days=14, service_level=0.95) == 28
    assert reorder_point([5, 5, 5], lead_days=7, service_level=0.99) == 5
    assert reorder_point([0, 0], lead_days=7, service_level=0.99) == 0


def test_fast_and_dead_stock(shop: Shop, tmp_path: Path) -> None:
    """What was picked is fast, what lay is dead, and the one that ran low is to be ordered."""
    order(shop, "A-1", ("NUT", 85), ("BALL", 1))
    plan(shop, tmp_path)
    check_all(shop, "A-1")
    with shop.reading() as books:
        movement = movement_frame(books, until=DAY).set_index("part")
        reorder = reorder_frame(books, until=DAY).set_index("part")

    assert movement["class"].to_dict() == {"NUT": "fast", "BALL": "slow", "GEAR": "dead"}
    assert movement.at["NUT", "weeks_of_cover"] == 0.5
    assert reorder["order_now"].to_dict() == {"NUT": True, "BALL": False}


def test_customers_are_forgotten_and_counts_stay(shop: Shop, tmp_path: Path) -> None:
    """Names and addresses of old shipped orders go; pieces, country and service stay; what owes pieces is kept."""
    order(shop, "A-1", ("BALL", 10), email="person@example.net")
    order(shop, "A-2", ("NUT", 100), minutes=1)
    plan(shop, tmp_path)
    check_all(shop, "A-2")
    for package in plan_packages(shop, "A-2", **WHO).packages:
        weigh_package(shop, package.number, package.expected_g, **WHO)
    send(shop, "A-1")

    done = forget_customers(shop, NOW + timedelta(days=1), **WHO)

    assert (done.orders, done.still_open) == (("A-1",), ("A-2",))
    gone = one(shop, Order, "A-1")
    assert (gone.name, gone.street, gone.email, gone.country) == (FORGOTTEN, FORGOTTEN, "", "DE")
    assert one(shop, OrderLine, "A-1", 1).pieces == 10
    assert forget_customers(shop, NOW + timedelta(days=1), **WHO).orders == ()


@pytest.mark.parametrize("rule", Rule)
def test_two_stations_plan_at_once_and_no_piece_is_promised_twice(shop: Shop, tmp_path: Path, rule: Rule) -> None:
    """Four stations take orders and plan at the same time: promises never exceed the bins."""
    from concurrent.futures import ThreadPoolExecutor

    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"allocation_rule": rule.value})])

    def station(name: int) -> None:
        with open_shop(tmp_path / "shop.db", wait_s=30) as own:
            for n in range(3):
                order(own, f"S{name}-{n}", ("BALL", 60), ("GEAR", 2), minutes=n)
                plan_day(own, day=DAY, at=NOW, person=f"station {name}", effort="none")

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(station, range(4)))

    promised: dict[str, int] = {}
    for promise in found(shop, OwedBalance, place=Owed.PROMISED):
        promised[promise.ref] = promised.get(promise.ref, 0) + promise.pieces
    assert promised == {"bin-BALL": 400, "bin-GEAR": 9}
    assert sum(line.short_pieces for line in found(shop, OrderLine)) == 12 * 62 - 409
