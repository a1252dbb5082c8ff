"""What rides where on the harbour shop's cart, from the catalogue to the papers: two levels, fragile and sharp goods.

The cart has six positions, three on each level. H-1 takes 250 barrel pins (6.5 g), H-2 two tune discs of 96 g, H-3 five
snail cams of 8.4 g: by mass H-2, H-3, H-1 from the lowest position up. By order number H-1 would ride lowest.
"""

import pytest

from fulfil.papers.twin import text
from fulfil.records.plan import WalkRecord
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import walk_sheets
from tests import harbour_shop as harbour

HEAD, *ROWS = harbour.FILES["parts.csv"].splitlines()
PARTS = "".join(
    f"{row},{'yes' if row.startswith('FELT-9') else ''}\n" if row else "" for row in (f"{HEAD}", *ROWS)
).replace("currency,\n", "currency,fragile\n", 1)
"""The harbour's parts; its felts are called fragile here."""


@pytest.fixture
def make(tmp_path):
    """Makes the shop with a cart of so many levels."""

    def made(levels):
        settings = harbour.FILES["settings.csv"] + f"cart_levels,{levels}\n"
        files = harbour.write_catalogue(tmp_path / "files", {"parts.csv": PARTS, "settings.csv": settings})
        shop = open_shop(tmp_path / f"harbour-{levels}.db", create=True)
        assert import_catalogue(shop, files, **harbour.WHO).findings == ()
        return shop

    return made


def positions(shop):
    """The position of each order's bags."""
    return {bag.order_number: bag.cart_position for bag in harbour.bags(shop)}


@pytest.mark.parametrize(
    ("levels", "expected"), [(2, {"H-2": 1, "H-3": 2, "H-1": 3}), (1, {"H-1": 1, "H-2": 2, "H-3": 3})]
)
def test_heavy_orders_ride_below(make, levels, expected):
    """By mass on two levels, by number on one; the cart card names the shelves of the one."""
    with make(levels) as shop:
        harbour.key(shop, "H-1", ("PIN-08", 250))
        harbour.key(shop, "H-2", ("DISC-21", 2))
        harbour.key(shop, "H-3", ("CAM-7", 5))
        harbour.plan(shop)
        assert positions(shop) == expected
        with shop.reading() as books:
            (walk,) = books.find(WalkRecord)
            said = text(walk_sheets(books, walk, index=look_alike_index).cart_card)
    assert ("lowest shelf" in said) is (levels == 2)


def test_sharp_beside_fragile_is_told(make):
    """Springs are sharp, felts fragile here: one order with both has one position, so the plan says what to do."""
    with make(1) as shop:
        harbour.key(shop, "H-1", ("SPRING-2", 10), ("FELT-9", 10))
        harbour.key(shop, "H-2", ("SPRING-2", 10))
        (finding,) = harbour.plan(shop).findings
        with shop.reading() as books:
            (walk,) = books.find(WalkRecord)
            said = text(walk_sheets(books, walk, index=look_alike_index).pick_list)

    assert (finding.source, finding.says) == ("order H-1", "holds sharp beside fragile goods")
    assert "lay it on top" in said
