"""Lithium cells stop at the packing bench: by post for good, by road until a trained person has looked."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.pack import stops
from fulfil.despatch.quote import quote_package
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, sealed_shop

ROAD, POST = "P2603020004", "P2603020002"
"""Both hold the long screws, which carry a cell here: 25 by road to Greece, 50 by post to Namibia."""


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Four sealed packages."""
    with sealed_shop(tmp_path / "shop.db") as opened:
        yield opened


def carries(shop: Shop, lithium: str, *, refuses: str = "") -> None:
    """The part with a lithium cell; what the road service refuses."""
    with shop.writing() as books:
        part, road = books.need(Part, "SCR-20"), books.need(Service, "ROAD")
        books.replace([revised(part, {"hazards": "lithium-battery", "lithium": lithium}),
                       revised(road, {"refuses": refuses})])  # fmt: skip


def told(shop: Shop, number: str) -> list[tuple[str, str]]:
    """What stops a package."""
    with shop.reading() as books:
        package = books.need(Package, number)
        return [(one.field, one.says) for one in stops(books, package, books.need(Order, package.order_number))]


RESTRICTED = ("hazard", "lithium-battery goods are restricted in transport")


def test_by_post_only_in_equipment_and_few(shop: Shop) -> None:
    """50 cells with equipment: the post admits none, a review changes nothing of that."""
    carries(shop, "ion cell 2.6 Wh, packed with equipment")
    barred = ("lithium", "UN 3481 packed with equipment is not admitted by post")
    assert told(shop, POST) == [RESTRICTED, barred]
    review_hazards(shop, POST, "looked at", at=NOW, person="dan")
    assert told(shop, POST) == [barred]
    carries(shop, "ion cell 2.6 Wh, contained in equipment")
    assert told(shop, POST) == [("lithium", "50 cells in one item, the post takes 4 at most, contained in equipment")]


def test_by_road_until_a_trained_person_has_looked(shop: Shop) -> None:
    """Above the small limits too; nothing passes by itself."""
    carries(shop, "ion cell 25 Wh, alone")
    assert told(shop, ROAD) == [RESTRICTED, ("lithium", "25 Wh is above 20 Wh: fully regulated")]
    review_hazards(shop, ROAD, "class 9 label, packed by P903", at=NOW, person="dan")
    assert told(shop, ROAD) == []


def test_a_service_that_refuses_the_un_number_refuses_it_reviewed_or_not(shop: Shop) -> None:
    """And says so when it is asked for a price."""
    carries(shop, "ion cell 2.6 Wh, alone", refuses="UN3480")
    review_hazards(shop, ROAD, "looked at", at=NOW, person="dan")
    assert told(shop, ROAD) == [("hazard", "the service refuses UN3480 goods")]
    offer = next(one for one in quote_package(shop, ROAD, as_of=DAY).offers if one.service.code == "ROAD")
    assert "the service refuses UN3480 goods" in [one.says for one in offer.findings]
