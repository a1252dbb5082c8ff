"""An invented shop with scales, and what is weighed in it."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.count_lines import Bench, bench_of, count_line
from fulfil.counting.lot_weights import lot_weight, weight_for_lot
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.place import Bin, Side
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop
from tests.seeding import place_bags

AT = datetime(2026, 3, 2, 9, tzinfo=UTC)


DAY = date(2026, 3, 2)


FINE = ScaleRecord(
    code="FINE", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.001"), max_g=Decimal(220),
    min_g=Decimal("0.2"), repeatability_g=0.0015,
)  # fmt: skip


BENCH = ScaleRecord(
    code="BENCH", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.01"), max_g=Decimal(3000), min_g=Decimal(5),
    repeatability_g=0.012,
)  # fmt: skip


SMALL = BagType(
    code="SMALL", width_mm=60, height_mm=80, usable_volume_mm3=37_500, tare_g=Decimal("0.62"), tare_sd_g=0.008,
    max_load_g=Decimal(120),
)  # fmt: skip


LARGE = BagType(
    code="LARGE", width_mm=100, height_mm=150, usable_volume_mm3=204_000, tare_g=Decimal("1.85"), tare_sd_g=0.03,
    max_load_g=Decimal(500),
)  # fmt: skip


SCREW = UnitWeight(
    part_number="SCREW", lot="L1", mean_g=0.9, u_g=0.009 / 50**0.5, piece_sd_g=0.009, sample_pieces=50,
    source=WeightSource.SAMPLED,
)  # fmt: skip


def part(number: str, family: str = "screw") -> Part:
    """A small invented part."""
    return Part(
        number=number, description=number.title(), family=family, bulk_volume_mm3=200.0, longest_mm=14,
        supply=Supply.BUY, price_minor=6, currency="EUR",
    )  # fmt: skip


def place(code: str, number: str, pieces: int = 0, lot: str = "") -> Bin:
    """A bin of it."""
    return Bin(
        code=code, aisle="1", side=Side.LEFT, section=1, level=1, y_mm=600, part_number=number, lot=lot, pieces=pieces
    )


def bench() -> Bench:
    """Both scales and bags with the house's settings."""
    return bench_of([FINE, BENCH], [SMALL, LARGE], Settings())


PIN = UnitWeight(part_number="PIN", lot="", mean_g=0.05, u_g=0.00002, piece_sd_g=0.0004, sample_pieces=400,
                 source=WeightSource.SAMPLED)  # fmt: skip
HAND = UnitWeight(part_number="PIN", lot="", mean_g=5.0, u_g=0.25, piece_sd_g=0.02, sample_pieces=0,
                  source=WeightSource.GEOMETRY)  # fmt: skip


def planned_bag(shop: Shop, weight: UnitWeight, pieces: int, code: str = "B-1") -> Bag:
    """One bag of so many on a released walk, counted as the shop counts it."""
    bench = bench_of([FINE, BENCH], [SMALL, LARGE], Settings())
    with shop.writing() as books:
        books.replace([part("PIN")])
        books.replace([weight])
        if not books.find(Bin, code="B-5"):
            books.add([place("B-5", "PIN")])
        (counted,) = count_line(part("PIN"), weight_for_lot([weight], ""), pieces, bench)
        order = Order(
            number=code, source="web", received_at=AT, name="Invented Person", street="1 Sample Lane", city="Sampleton",
            country="NA", service_code="post", currency="EUR",
        )  # fmt: skip
        books.add_orders(
            [(order, [OrderLine(order_number=code, line_no=1, part_number="PIN", pieces=pieces, unit_price_minor=6)])]
        )
        books.add([WalkRecord(number=f"W{code}", day=DAY, length_mm=1, orders=1, stops=1, released_at=AT)])
        bag = Bag(
            code=code, order_number=code, line_no=1, part_number="PIN", bin_code="B-5", pieces=pieces,
            bag_type=counted.bag_type.code, walk_number=f"W{code}", cart_position=1, stop_no=1, method=counted.method,
            pours=counted.pours, scale_code=counted.scale_code, tare_g=counted.bag_type.tare_g,
            target_g=counted.target_g, lower_g=counted.lower_g, upper_g=counted.upper_g, p_reject=counted.p_reject,
            p_pass_one_short=counted.p_pass_one_short, p_pass_one_over=counted.p_pass_one_over, reason=counted.reason,
        )  # fmt: skip
        books.add([bag])
        place_bags(books, [bag], at=AT)
        return bag


# Learning and drift


def bags_of(
    shop: Shop, gross: list[str], *, part_number: str = "SCREW", lot: str = "L1", code: str = "W-1", after: int = 0,
    bag_type: BagType = SMALL,
) -> None:  # fmt: skip
    """Bags of 40 on the coarse scale, checked with these readings, a minute apart; the window is that of small bags."""
    counted = None
    with shop.writing() as books:
        weight = lot_weight(books, part_number, lot)
        counted = count_line(part(part_number), weight, 40, bench())[0]
        books.add([WalkRecord(number=code, day=DAY, length_mm=1, orders=1, stops=1, released_at=AT)])
        for index, _ in enumerate(gross):
            number = f"{code}-{index}"
            order = Order(
                number=number, source="web", received_at=AT, name="Invented Person", street="1 Sample Lane",
                city="Sampleton", country="NA", service_code="post", currency="EUR",
            )  # fmt: skip
            line = OrderLine(order_number=number, line_no=1, part_number=part_number, pieces=40, unit_price_minor=6)
            books.add_orders([(order, [line])])
            bag = Bag(
                code=f"BAG-{number}", order_number=number, line_no=1, part_number=part_number, bin_code="B-1", lot=lot,
                pieces=40, bag_type=bag_type.code, walk_number=code, cart_position=1, stop_no=1, method=counted.method,
                scale_code=counted.scale_code, tare_g=bag_type.tare_g,
                target_g=_more(counted.target_g, bag_type), lower_g=_more(counted.lower_g, bag_type),
                upper_g=_more(counted.upper_g, bag_type), p_reject=counted.p_reject,
                p_pass_one_short=counted.p_pass_one_short, p_pass_one_over=counted.p_pass_one_over,
            )  # fmt: skip
            books.add([bag])
            place_bags(books, [bag], at=AT)
    for index, shown in enumerate(gross):
        seen = Seen(gross_g=Decimal(shown.rstrip("h")), counted=40 if shown.endswith("h") else None)
        check_bag(shop, f"BAG-{code}-{index}", seen, at=AT + timedelta(minutes=after + index), person="bo")


def _more(mass_g: Decimal | None, bag_type: BagType) -> Decimal | None:
    return None if mass_g is None else mass_g + bag_type.tare_g - SMALL.tare_g
