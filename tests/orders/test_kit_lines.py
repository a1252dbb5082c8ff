"""A kit is one line for the customer and several parts for the shop: both keep in step through every change."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order
from fulfil.orders.kits import set_kit
from fulfil.orders.verify import verify_shop
from fulfil.stock.levels import count_bin
from fulfil.store.shop import Shop
from fulfil.walks.plan import plan_day
from tests.harbour_shop import DAY, NOW, WHO, bags, key, lines_of, open_harbour, plan, release, send
from tests.piece_places import line_at


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop with an order of two kits of 2 springs and 3 felts each."""
    with open_harbour(tmp_path) as opened:
        key(opened, "A-1", ("KIT-D", 2))
        yield opened


@pytest.mark.parametrize("wants", [3, 7, 1, 0])
def test_a_kit_line_takes_all_its_parts_along_when_it_changes(shop: Shop, tmp_path: Path, wants: int) -> None:
    """More or fewer kits are more or fewer of each part, before release and after."""
    if wants:
        change_lines(shop, "A-1", {1: wants}, **WHO)
        change_lines(shop, "A-1", {1: 2}, **WHO)
    plan(shop)
    release(shop, tmp_path)
    change_lines(shop, "A-1", {1: wants}, **WHO)
    plan(shop)

    parts = {part: line_at(shop, "A-1", 1, part) for part in ("SPRING-2", "FELT-9")}
    for part, per in (("SPRING-2", 2), ("FELT-9", 3)):
        open_ = sum(n for place, n in parts[part].items() if place != "cancelled")
        assert open_ == wants * per
    (line,) = lines_of(shop, "A-1")
    assert line.pieces - line.cancelled_pieces == wants
    assert verify_shop(shop) == ()
    if wants:
        release(shop, tmp_path)
        send(shop, "A-1")
        assert line_at(shop, "A-1", 1, "FELT-9")["shipped"] == 3 * wants


@pytest.mark.parametrize(
    ("springs", "pins"), [((5, 5), (8, 7)), ((5, 5), (15, 0)), ((10, 0), (8, 7)), ((10, 0), (15, 0))]
)
def test_fewer_kits_pull_bags_also_where_no_bag_alone_holds_too_much(
    shop: Shop, tmp_path: Path, springs: tuple[int, int], pins: tuple[int, int]
) -> None:
    """Five kits of 2 springs and 3 pins from one bin or two; four are wanted: 10 are more than 8, 15 more than 12."""
    cancel_order(shop, "A-1", "another kit", **WHO)
    set_kit(shop, "KIT-D", [("SPRING-2", 2), ("PIN-08", 3)], **WHO)
    for codes, pieces in ((("MOANA-1", "MOANA-4"), springs), (("TAI-1", "MOANA-3"), pins)):
        for code, count in zip(codes, pieces, strict=True):
            count_bin(shop, code, count, **WHO)
    key(shop, "B-1", ("KIT-D", 5))
    plan_day(shop, day=DAY, at=NOW, person="ngaio", effort="none", only=["B-1"])
    release(shop, tmp_path)
    assert sum(bag.pieces for bag in bags(shop, order_number="B-1")) == 25
    changed = change_lines(shop, "B-1", {1: 4}, **WHO)
    assert sum(bag.pieces for bag in bags(shop, order_number="B-1")) == 0, changed.tells
    assert verify_shop(shop) == ()
