"""What the machine's sequences found, each as the few steps that show it."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.day.claims import take_back
from fulfil.day.ship import void_package
from fulfil.errors import StateRefused
from fulfil.orders.verify import verify_shop
from fulfil.records.goods_back import Outcome
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, key, open_harbour, plan, release, send
from tests.piece_places import line_at, owed, stock


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop on its first morning."""
    with open_harbour(tmp_path) as opened:
        yield opened


def sent(shop: Shop, folder: Path, *asked: tuple[str, int]) -> str:
    """Order A-1 keyed, planned, and sent; its package."""
    key(shop, "A-1", *asked)
    plan(shop)
    release(shop, folder)
    return send(shop, "A-1").packages[0].number


@pytest.mark.parametrize("outcome", Outcome)
def test_a_package_of_which_pieces_came_back_did_leave(shop: Shop, tmp_path: Path, outcome: Outcome) -> None:
    """It can't be voided as if it stood here whole: the new package would hold fewer pieces than its bags."""
    package = sent(shop, tmp_path, ("REED-A", 9))
    take_back(shop, "A-1", 1, outcome, "bent", **WHO, counted=2)
    before = (owed(shop), stock(shop))

    with pytest.raises(StateRefused, match="2 of its 9 pieces came back already"):
        void_package(shop, package, "missed the van", **WHO)

    assert (owed(shop), stock(shop)) == before
    assert verify_shop(shop) == ()
    assert line_at(shop, "A-1", 1) == {"shipped": 9}
