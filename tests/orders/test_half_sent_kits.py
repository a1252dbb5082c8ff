"""A kit of which some parts went out and the rest is cancelled: every paper and every step says one number."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli import columns
from fulfil_cli.main import main
from sqlalchemy import URL

from fulfil.despatch.advice import advices_of
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import void_package
from fulfil.errors import StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order
from fulfil.orders.shown import show_order
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import Manifest
from fulfil.records.order import Order
from fulfil.stock.empty_bins import bin_lacks
from fulfil.store.engine import writing_engine
from fulfil.store.migration import upgrade
from fulfil.store.shop import NEWEST_MIGRATION, Shop, open_shop
from tests.harbour_shop import DAY, NOW, WHO, key, lines_of, open_harbour, plan, release, send
from tests.piece_places import line_at


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two kits of 2 springs and 3 felts: the springs are sent, the felts' bin was empty, the rest is cancelled."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("KIT-D", 2))
        plan(opened)
        release(opened, tmp_path)
        bin_lacks(opened, "MOANA-2", 0, day=DAY, **WHO)
        send(opened, "A-1")
        cancel_order(opened, "A-1", "customer rang", **WHO)
        assert line_at(opened, "A-1", 1, "SPRING-2") == {"shipped": 4}
        assert line_at(opened, "A-1", 1, "FELT-9") == {"cancelled": 6}
        yield opened


def test_every_paper_and_step_says_that_both_kits_are_cancelled(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No kit went out whole and none follows: 2 of 2 are cancelled, whoever asks."""
    with shop.reading() as books:
        (row,) = packing_list_sheet(books, books.need(Order, "A-1"), day=DAY).lines
        (manifest,) = books.find(Manifest)
        (advice,), _ = advices_of(books, manifest, at=NOW)
        shown = show_order(books, "A-1")
    (line,) = lines_of(shop, "A-1")
    report = report_day(shop, day=DAY)
    assert (row.ordered, row.inside + row.sent_before, row.to_follow, row.cancelled) == (2, 0, 0, 2)
    assert (advice.lines[0].despatched_pieces, advice.lines[0].cancelled_pieces) == (0, 2)
    assert report.frames["lines"][["shipped", "short", "cancelled"]].to_numpy().tolist() == [[0, 0, 2]]
    assert (line.cancelled_pieces, line.short_pieces) == (2, 0)
    assert shown.goods_minor == 0
    assert verify_shop(shop) == ()
    shop.close()
    at = ["--shop", str(tmp_path / "harbour.db"), "--at", NOW.isoformat()]
    monkeypatch.setattr(columns, "WIDTH", 200)
    said = CliRunner().invoke(main, ["orders", "show", "A-1", *at], catch_exceptions=False).output
    assert next(row for row in said.splitlines() if "KIT-D" in row).split()[4:7] == ["2", "2", "0"]
    why = CliRunner().invoke(main, ["orders", "why", "A-1", *at], catch_exceptions=False).output
    told = next(row for row in why.splitlines() if "KIT-D" in row)
    assert told.split()[1:4] == ["KIT-D", "2", "2"]
    assert "6 of FELT-9 cancelled, 4 of SPRING-2 shipped" in told


def test_a_package_that_did_not_leave_takes_the_figure_along(shop: Shop) -> None:
    """Its springs are owed again, so neither kit is settled; both sums follow the pieces."""
    with shop.reading() as books:
        (package,) = show_order(books, "A-1").packages
    void_package(shop, package.number, "the van was full", **WHO)

    assert lines_of(shop, "A-1")[0].cancelled_pieces == 0
    assert verify_shop(shop) == ()


def test_more_of_such_a_line_may_be_wanted_again(tmp_path: Path) -> None:
    """A line of which one more kit is wanted while its half is sent gets the parts of one kit more."""
    with open_harbour(tmp_path) as shop:
        key(shop, "A-1", ("KIT-D", 2))
        plan(shop)
        release(shop, tmp_path)
        bin_lacks(shop, "MOANA-2", 0, day=DAY, **WHO)
        send(shop, "A-1")
        change_lines(shop, "A-1", {1: 3}, **WHO)

        assert sum(line_at(shop, "A-1", 1, "SPRING-2").values()) == 6
        assert sum(line_at(shop, "A-1", 1, "FELT-9").values()) == 9
        assert verify_shop(shop) == ()


def test_a_kit_of_which_one_part_went_out_can_not_be_wanted_no_more(tmp_path: Path) -> None:
    """The springs of both kits are with the customer: fewer than two kits is a return, not a change."""
    with open_harbour(tmp_path) as shop:
        key(shop, "A-1", ("KIT-D", 2))
        plan(shop)
        release(shop, tmp_path)
        bin_lacks(shop, "MOANA-2", 0, day=DAY, **WHO)
        send(shop, "A-1")
        with pytest.raises(StateRefused, match="expected at least the 2 pieces that were sent"):
            change_lines(shop, "A-1", {1: 1}, **WHO)


def test_a_shop_of_before_is_told_the_same_number(shop: Shop, tmp_path: Path) -> None:
    """Where the line of a half-sent kit said 0, it says 2 after the upgrade, and both books agree."""
    shop.close()
    path = tmp_path / "harbour.db"
    engine = writing_engine(URL.create("sqlite", database=str(path)), wait_s=1)
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE order_line SET cancelled_pieces = 0")
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '0016'")
        upgrade(connection, to="0017")
        connection.exec_driver_sql(f"UPDATE alembic_version SET version_num = '{NEWEST_MIGRATION}'")
    engine.dispose()

    with open_shop(path) as after:
        assert lines_of(after, "A-1")[0].cancelled_pieces == 2
        assert verify_shop(after) == ()
