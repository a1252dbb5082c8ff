"""Eleven days of real orders come in as they are, and no piece or penny of them is lost.

*Online Retail*, D. Chen, UCI Machine Learning Repository, doi 10.24432/C5BW33. The files are no part of the project;
without them these tests are skipped.
"""

from collections.abc import Iterator
from decimal import Decimal

import pytest

from fulfil.planning.allocation import Rule
from fulfil.records.despatch.goods_back import ReturnKind, ReturnMatch, ReturnNotice
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.order_charge import OrderCharge
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.store.shop import Shop, open_shop
from tests.benchmarks import real_week

PATHS = real_week.files()
pytestmark = pytest.mark.skipif(not PATHS, reason=f"no real orders in {real_week.FOLDER}")


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop with a part, a bin and an invented stock for every code of the files."""
    with open_shop(tmp_path_factory.mktemp("real") / "shop.db", create=True) as opened:
        real_week.fill(opened, PATHS)
        yield opened


@pytest.mark.slow
def test_every_row_of_two_weeks_finds_its_place(shop: Shop) -> None:
    """Orders, charges and returns add up to what a plain reader counts: pieces and pence, to the last of each.

    Countries that are none are asked about once each (EIRE is known as Irish says it, Éire in the CLDR); then the same
    files bring nothing new.
    """
    real_week.keep_mapping(shop, real_week.MAPPING, at=real_week.NOW, person="clerk")
    asks = next(
        path for path in PATHS if b"Channel Islands" in path.read_bytes() or b"Unspecified" in path.read_bytes()
    )
    first = real_week.import_orders(
        shop, asks, at=real_week.NOW, person="clerk", source="old-shop", is_dry_run=True
    ).findings
    assert {finding.value for finding in first} <= set(real_week.COUNTRIES) - {"EIRE"}
    assert f"fulfil orders country '{first[0].value}' CODE" in first[0].says
    sums = real_week.told(PATHS)

    done = real_week.bring_in(shop, PATHS)

    assert [finding for one in done for finding in one.findings] == []
    assert [conflict for one in done for conflict in one.conflicts] == []
    with shop.reading() as books:
        orders, lines = books.find(Order), books.find(OrderLine)
        charges, notices, matches = books.find(OrderCharge), books.find(ReturnNotice), books.find(ReturnMatch)
    assert sum(line.pieces for line in lines) == sums.pieces["orders"]
    assert sum(notice.pieces for notice in notices) == sums.pieces["returns"]
    listed = [charge for charge in charges if charge.code in real_week.NO_PARTS]
    assert sum(charge.pieces for charge in listed) == sums.pieces["charges"]
    pence = sum(line.pieces * line.unit_price_minor for line in lines)
    pence += sum(charge.amount_minor for charge in charges)
    assert Decimal(pence) / 100 == sums.pounds["orders"] + sums.pounds["charges"]
    assert Decimal(sum(notice.amount_minor for notice in notices)) / 100 == sums.pounds["returns"]
    assert len({(line.order_number, line.part_number) for line in lines}) == len(lines)
    waiting = sum(notice.pieces for notice in notices) - sum(match.pieces for match in matches)
    assert waiting == done[-1].waiting_pieces > 0
    assert all(notice.kind is ReturnKind.CORRECTION for notice in notices if not notice.number.startswith("C"))
    by_number = {order.number: order for order in orders}
    of_notice = {(notice.number, notice.line_no): notice for notice in notices}
    for match in matches:
        notice, order = of_notice[match.number, match.line_no], by_number[match.order_number]
        assert (notice.name, notice.country) == (order.name, order.country)
        assert order.received_at <= notice.received_at

    again = [real_week.import_orders(shop, path, at=real_week.NOW, person="clerk", source="old-shop") for path in PATHS]
    assert [(one.new, one.charges, one.returns, one.findings) for one in again] == [((), 0, 0, ())] * len(PATHS)


@pytest.mark.slow
@pytest.mark.parametrize("rule", [Rule.FIRST_COME, Rule.CUT_OFF_FIRST])
def test_allocation_conserves_pieces(shop: Shop, rule: Rule) -> None:
    """Wanted = promised + short, line by line; no bin promises more than it holds."""
    if not shop_has_orders(shop):
        real_week.bring_in(shop, PATHS)

    wanted, promised, complete, _ = real_week.allocate_all(shop, rule)

    with shop.reading() as books:
        states = {order.number: order.state for order in books.find(Order)}
        lines, promised_ = books.find(OrderLine), books.find(OwedBalance, place=Owed.PROMISED)
        bins = {place.code: place.pieces for place in books.find(Bin)}
    by_line: dict[tuple[str, int], int] = {}
    for one in promised_:
        by_line[one.order_number, one.line_no] = by_line.get((one.order_number, one.line_no), 0) + one.pieces
        bins[one.ref] -= one.pieces
    assert min(bins.values()) >= 0
    for line in lines:
        if states[line.order_number] is not OrderState.CANCELLED:
            got = by_line.get((line.order_number, line.line_no), 0)
            assert got + line.short_pieces + line.cancelled_pieces == line.pieces
            assert bool(line.short_reason) == bool(line.short_pieces)
    assert wanted == promised + sum(line.short_pieces for line in lines)
    assert complete > 0


def shop_has_orders(shop: Shop) -> bool:
    """Whether the first test ran before."""
    with shop.reading() as books:
        return books.count(Order) > 0
