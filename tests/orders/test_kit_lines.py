"""A kit is one line for the customer and several parts for the shop: both keep in step through every change."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.orders.changing import change_lines
from fulfil.orders.verify import verify_shop
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, key, lines_of, open_harbour, plan, release, send
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
