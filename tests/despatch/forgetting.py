"""A small shop whose orders have left or were cancelled, and each time somebody typed something about the customer."""

from datetime import datetime, timedelta
from pathlib import Path

from fulfil.despatch.desk.forgetting import Forgotten, forget_customers
from fulfil.despatch.ship import close_manifest
from fulfil.orders.changing import change_address
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order
from fulfil.records.order import Order, OrderLine
from fulfil.store.shop import Shop
from tests.shipping_shop import DAY, NOW, ORDERS, sealed_shop
from tests.who import Who

WHO = Who(at=NOW, person="dan")
LATER = NOW + timedelta(days=800)
TYPED = ("Frau Musterfrau rief an", "wohnt jetzt bei Herrn Modell")
FIFTH = ("Erfundene Person 5", "Alter Musterweg 3", "Beispielhausen")
MOVED = "Neuer Musterweg 9"
ALL = (*(order[0] for order in ORDERS), "A-5")
KNOWN = (*(text for order in ORDERS for text in order[1:4]), *TYPED, *FIFTH, MOVED)
"""What the shop knew of its customers, and what was typed."""


def shop_of_the_past(path: Path) -> Shop:
    """Four orders have left, one was held; the fifth moved and was cancelled; it is left open."""
    shop = sealed_shop(path)
    hold_order(shop, "A-1", TYPED[0], **WHO)
    resume_order(shop, "A-1", **WHO)
    fifth = Order(number="A-5", source="post", received_at=NOW, name=FIFTH[0], street=FIFTH[1], city=FIFTH[2],
                  country="DE", service_code="ROAD", currency="EUR")  # fmt: skip
    line = OrderLine(order_number="A-5", line_no=1, part_number="SCR-16", pieces=5, unit_price_minor=6)
    assert add_order(shop, fifth, [line], **WHO) == []
    change_address(shop, "A-5", {"street": MOVED}, **WHO)
    cancel_order(shop, "A-5", TYPED[1], **WHO)
    for service in ("ROAD", "POST"):
        close_manifest(shop, service, day=DAY, **WHO)
    return shop


def forget(shop: Shop, *, before: datetime = LATER) -> Forgotten:
    """Forgets the customers of all that ended before."""
    return forget_customers(shop, before, at=LATER, person="dan")
