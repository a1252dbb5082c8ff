"""The tiny shop, small enough to hold in the head: the records that examples and tests share. All of it is invented.

One part (steel balls of 3 mm), one bin of 40, one order of 50, a box, a bag, a service.
"""

from datetime import UTC, datetime, time
from decimal import Decimal

from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, BoxType
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply
from fulfil.records.place import Bin, Side

PART = Part(
    number="BALL-3", description="Bearing ball 3 mm", family="bearing ball", size="3 mm", finish="bright steel",
    bulk_volume_mm3=24.0, longest_mm=3, supply=Supply.BUY, price_minor=2, currency="EUR",
)  # fmt: skip
BIN = Bin(code="01L-01-1A", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=600, part_number="BALL-3", pieces=40)
ORDER = Order(
    number="A-1", source="web", received_at=datetime(2026, 3, 2, 8, tzinfo=UTC), name="Invented Person",
    street="Sample Street 1", city="Sampletown", country="NA", service_code="post", currency="EUR",
)  # fmt: skip
LINE = OrderLine(order_number="A-1", line_no=1, part_number="BALL-3", pieces=50, unit_price_minor=2)
BAG = BagType(
    code="bag-S", width_mm=60, height_mm=80, usable_volume_mm3=30_000, tare_g=Decimal("0.9"), tare_sd_g=0.02,
    max_load_g=Decimal(250),
)  # fmt: skip
BOX = BoxType(
    code="box-1", length_mm=150, width_mm=100, height_mm=50, tare_g=Decimal(40), tare_sd_g=1.0,
    max_load_g=Decimal(2000), fill_fraction=0.7,
)  # fmt: skip
SERVICE = Service(
    code="post", name="Invented Small Packet", kind=ServiceKind.POSTAL, cut_off=time(16, 30),
    max_weight_g=Decimal(2000), max_longest_mm=600, refuses="flammable pressurised",
)  # fmt: skip
