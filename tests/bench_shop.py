"""A small invented shop whose walks are released: what the benches' tests work on.

Orders of several bags each, counted by weight on a fine scale except every seventh part, which is counted by hand; all
weights are made so that the windows hold the shop's risks.
"""

import shutil
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, CountMethod, WalkRecord
from fulfil.records.settings import Settings
from fulfil.store.shop import open_shop
from fulfil.weighing.limits import on_scale
from fulfil.weighing.window import count_window
from tests.seeding import place_bags

AT = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
DAY = date(2026, 3, 2)
POSITIONS = 10
"""Of a cart."""
FINISHES = ("zinc", "brass", "black")
SCALES = (
    ScaleRecord(code="FINE", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.01"), max_g=Decimal(620),
                min_g=Decimal("0.2"), repeatability_g=0.005),
    ScaleRecord(code="PACK", accuracy_class="III", e_g=Decimal(1), d_g=Decimal(1), max_g=Decimal(6000),
                min_g=Decimal(20), repeatability_g=0.4, use="packages"),
)  # fmt: skip
BAGS = (BagType(code="BAG", width_mm=100, height_mm=150, usable_volume_mm3=200_000, tare_g=Decimal("1.85"),
                tare_sd_g=0.01, max_load_g=Decimal(500)),)  # fmt: skip
BOXES = (
    BoxType(code="BOX-1", length_mm=160, width_mm=110, height_mm=60, tare_g=Decimal(58), tare_sd_g=0.9,
            max_load_g=Decimal(2000), fill_fraction=0.7, cushioning_g=Decimal(12), cushioning_sd_g=0.5),
    BoxType(code="BOX-2", length_mm=300, width_mm=220, height_mm=150, tare_g=Decimal(236), tare_sd_g=1.5,
            max_load_g=Decimal(5000), fill_fraction=0.7, cushioning_g=Decimal(40), cushioning_sd_g=1.0),
)  # fmt: skip


def parts(number: int) -> tuple[Part, UnitWeight, Bin]:
    """The part with this number, its unit weight and its bin; every seventh has no sampled weight."""
    mean_g = 0.5 + 0.137 * (number % 40)
    part = Part(
        number=f"SCR-{number:04d}",
        description=f"Cap screw M3 x {6 + number % 30}",
        family="cap screw",
        size=f"M3 x {6 + number % 30}",
        finish=FINISHES[number % 3],
        bulk_volume_mm3=250.0 + 9 * (number % 40),
        longest_mm=9 + number % 30,
        supply=Supply.BUY,
        hazards="leaded-brass" if number % 3 == 1 else "",
        price_minor=5,
        currency="EUR",
    )
    is_sampled = number % 7 != 0
    weight = UnitWeight(
        part_number=part.number,
        mean_g=mean_g,
        u_g=mean_g * 0.0003,
        piece_sd_g=mean_g * 0.003,
        sample_pieces=100 if is_sampled else 0,
        source=WeightSource.SAMPLED if is_sampled else WeightSource.GEOMETRY,
    )
    place = Bin(
        code=f"{number // 20 + 1:02d}L-{number % 20:02d}-1",
        aisle="1",
        side=Side.LEFT,
        section=number % 20,
        level=1,
        y_mm=600 * (number % 20),
        part_number=part.number,
        pieces=0,
    )
    return part, weight, place


def _counted(weight: UnitWeight, pieces: int) -> dict[str, Any]:
    """How a bag is counted: by weight on the fine scale, or by hand where nothing was sampled."""
    if not weight.may_accept:
        return {"method": CountMethod.HAND, "reason": "sample first"}
    window = count_window(
        pieces, unit_weight_g=weight.mean_g, unit_weight_u_g=weight.u_g, piece_sd_g=weight.piece_sd_g,
        indication_u_g=0.006, tare_g=float(BAGS[0].tare_g), tare_u_g=BAGS[0].tare_sd_g,
    )  # fmt: skip
    assert window.resolvable
    lower_g, upper_g = on_scale(window, SCALES[0].d_g)
    return {
        "method": CountMethod.WEIGH,
        "scale_code": "FINE",
        "target_g": Decimal(f"{window.target_g:.2f}"),
        "lower_g": lower_g,
        "upper_g": upper_g,
        "p_reject": window.p_reject,
        "p_pass_one_short": window.p_pass_one_short,
        "p_pass_one_over": window.p_pass_one_over,
    }


def bench_shop(path: Path, *, orders: int = 3, bags: int = 4, part_count: int = 60) -> dict[str, list[str]]:
    """The shop as a copy of one file; the numbers of its orders and the codes of their bags, in the carts' order."""
    template, found = _template(orders, bags, part_count)
    shutil.copy(template, path)
    return {number: [*codes] for number, codes in found.items()}


@cache
def _template(orders: int, bags: int, part_count: int) -> tuple[Path, dict[str, list[str]]]:
    path = Path(mkdtemp()) / "template.sqlite"
    return path, make_bench_shop(path, orders=orders, bags=bags, part_count=part_count)


def make_bench_shop(where: str | Path, *, orders: int = 3, bags: int = 4, part_count: int = 60) -> dict[str, list[str]]:
    """Makes the shop anew, in a file or a database; gives what :func:`bench_shop` gives."""
    made = [parts(number) for number in range(part_count)]
    service = Service(code="ROAD", name="Invented Road Parcel", kind=ServiceKind.PARCEL, cut_off=time(16),
                      max_weight_g=Decimal(30_000))  # fmt: skip
    lines: list[OrderLine] = []
    rows: list[Bag] = []
    walks: dict[str, set[str]] = {}
    found: dict[str, list[str]] = {}
    for order_no in range(orders):
        number = f"O-{1001 + order_no}"
        walk = f"W260302{order_no // POSITIONS + 1:04d}"
        walks.setdefault(walk, set()).add(number)
        found[number] = []
        for line_no in range(1, bags + 1):
            part, weight, place = made[(order_no * 5 + line_no * 7 + line_no) % part_count]
            pieces = 10 + (order_no * 3 + line_no * 11) % 30
            counted = _counted(weight, pieces)
            line = OrderLine(order_number=number, line_no=line_no, part_number=part.number, pieces=pieces,
                             unit_price_minor=5)  # fmt: skip
            code = f"B260302{order_no * bags + line_no:04d}"
            bag = Bag(
                code=code, order_number=number, line_no=line_no, part_number=part.number, bin_code=place.code,
                pieces=pieces, bag_type="BAG", walk_number=walk, cart_position=order_no % POSITIONS + 1,
                stop_no=line_no, tare_g=BAGS[0].tare_g, **counted,
            )  # fmt: skip
            lines.append(line)
            rows.append(bag)
            found[number].append(code)
    customers = [
        Order(number=number, source="web", received_at=AT, name=f"Invented Person {number}", street="Sample Street 1",
              city="Sampletown", country="NA", service_code="ROAD", currency="EUR", state=OrderState.RELEASED)
        for number in found
    ]  # fmt: skip
    with open_shop(where, create=True) as shop, shop.writing() as books:
        books.add(
            [
                RoomElement(kind=ElementKind.AISLE, name="1", x_mm=1200),
                RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
                RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=14_000),
                RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=1200, y_mm=0),
            ]
        )
        books.add([Settings(shop_name="Invented bench shop", country="NA"), *SCALES, *BAGS, *BOXES, service])
        books.add([record for part, weight, place in made for record in (part, weight, place)])
        books.add(customers)
        books.add(lines)
        books.add(
            WalkRecord(number=walk, day=DAY, length_mm=1000, orders=len(numbers), stops=bags, released_at=AT)
            for walk, numbers in walks.items()
        )
        books.add(rows)
        stock = [
            bin_move(part_number=part.number, bin_code=place.code, pieces=100_000, reason="found", source="test")
            for part, _, place in made
        ]
        books.move(stock=stock, at=AT, person="clerk")
        place_bags(books, rows, at=AT, person="clerk")
    return found


def right_weight(bag: Bag, unit_weight_g: float = 0.0) -> str:
    """What a right bag shows: its target, or for a hand-counted one what its pieces weigh on the fine scale."""
    if bag.method is CountMethod.WEIGH:
        return f"{bag.target_g:.2f}"
    return f"{float(bag.tare_g) + bag.pieces * unit_weight_g:.2f}"
