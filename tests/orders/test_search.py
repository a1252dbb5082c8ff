"""Orders found by what somebody remembers, at the harbour shop."""

from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.orders.importing import add_order
from fulfil.orders.search import find_orders
from fulfil.records.order import Order, OrderLine
from tests.harbour_shop import NOW, WHO, open_harbour

CALLERS = (
    ("T-1", "Þórður Dæmi", "Kaingaroa-Sample", "+64 3 305 0001", "REED-A"),
    ("T-2", "Éloïse Modèle-Œuvrard", "Ville-Modèle", "", "CAM-7"),
    ("W-1002", "Žofie Vzorková", "Waitangi-Sample", "(03) 305-0002", "PIN-08"),
)


@pytest.fixture
def books(tmp_path: Path):
    """Three orders, the last one the newest."""
    with open_harbour(tmp_path) as shop:
        for place, (number, name, city, phone, part) in enumerate(CALLERS):
            order = Order(number=number, source="phone", received_at=NOW + timedelta(hours=place), name=name,
                          street="1 Sample Quay", city=city, post_code="8016", country="NZ", phone=phone,
                          service_code="AIR", currency="NZD")  # fmt: skip
            line = OrderLine(order_number=number, line_no=1, part_number=part, pieces=2, unit_price_minor=120)
            assert add_order(shop, order, [line], **WHO) == []
        with shop.reading() as opened:
            yield opened


@pytest.mark.parametrize(
    ("said", "found"),
    [("thordur", ["T-1"]), ("XUVRARD", []), ("œuvrard", ["T-2"]), ("oeuvrard ville", ["T-2"]), ("vzorkova", ["W-1002"]),
     ("100", ["W-1002"]), ("t-", ["T-2", "T-1"]), ("reed", ["T-1"]), ("snail cam", ["T-2"]),
     ("8016 sample pin", ["W-1002"]), ("305 0002", ["W-1002"]), ("+64 3 305 0001", ["T-1"]),
     ("vzorkova reed", []), ("", []), (" , ", [])],
)  # fmt: skip
def test_what_somebody_remembers(books, said: str, found: list[str]) -> None:
    """Name, town, number, part and telephone; every word must fit; the newest first."""
    assert [one.order.number for one in find_orders(books, said)] == found


def test_the_part_that_was_meant_is_said(books) -> None:
    """So that the one who asks sees why the order was found."""
    (found,) = find_orders(books, "tongue")
    assert (found.order.number, found.parts) == ("T-1", ("REED-A",))
