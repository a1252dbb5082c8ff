"""A small invented shop in Luxembourg whose packages are sealed: four orders, two services with prices, SDR rates."""

import shutil
from collections.abc import Sequence
from datetime import UTC, date, datetime, time
from decimal import Decimal
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from fulfil.despatch.abroad.customs_papers import customs_set, printed_of
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.despatch.tariff import Price, Zone
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, Side
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.settings import Settings
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shop.numbers import next_code
from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop
from tests.seeding import place_bags, seal_packages

DAY = date(2026, 3, 2)
NOW = datetime(2026, 3, 2, 15, tzinfo=UTC)

OrderRow = tuple[str, str, str, str, str, str, str]

PARTS = [
    ("SCR-16", "Cap screw M3 x 16", "steel cap screws for clock movements", "731815", "DE", "1.2034", ""),
    ("SCR-20", "Cap screw M3 x 20", "steel cap screws for clock movements", "73181595", "DE", "1.4012", ""),
    ("BUSH-3", "Bush 3 x 5 x 4", "turned brass bushes for clock movements", "911490", "LU", "0.4248", "leaded-brass"),
    ("ENAMEL", "Enamel blue 10 ml", "enamel colours for dials", "321000", "LU", "18.5", "flammable"),
]
ORDERS = [
    ("A-1", "Erfundene Person 1", "Musterstadt", "10115", "DE", "ROAD", "EUR"),
    ("A-2", "Invented Person 2", "Sampleberg", "10001", "NA", "POST", "EUR"),
    ("A-3", "Invented Person 3", "Sampleham", "M2 5BQ", "GB", "ROAD", "GBP"),
    ("A-4", "Επινοημένος Πελάτης 4", "Παράδειγμα", "151 24", "GR", "ROAD", "EUR"),
]
LINES = {"A-1": [("SCR-16", 200, 6)], "A-2": [("SCR-16", 100, 6), ("SCR-20", 50, 8), ("BUSH-3", 12, 35)],
         "A-3": [("BUSH-3", 40, 30)], "A-4": [("SCR-20", 25, 8)]}  # fmt: skip


def sealed_shop(path: Path, *, is_printed: bool = True) -> Shop:
    """The shop with every package sealed and nothing shipped, open; ``is_printed``: its customs papers are printed."""
    shutil.copy(_template(is_printed), path)
    return open_shop(path, wait_s=5)


@cache
def _template(is_printed: bool) -> Path:
    """The shop, made once."""
    path = Path(mkdtemp()) / "template.db"
    with open_shop(path, create=True, wait_s=5) as shop:
        fill(shop)
        if is_printed:
            note_papers(shop)
    return path


def note_papers(shop: Shop) -> None:
    """Keeps the customs papers of every order as if they had come out of a printer."""
    with shop.writing() as books:
        for order in books.find(Order):
            due = customs_set(books, order, day=DAY)
            books.add([printed_of(one.package.number, due.of(one.package.number), NOW, "dan") for one in due.declared])


def fill(shop: Shop) -> None:
    """Writes the small shop's records."""
    with shop.writing() as books:
        books.replace([Settings(shop_name="Invented Escapement Works", street="1, rue du Modèle", city="Musterduerf",
            post_code="4750", country="LU", email="shop@example.org", time_zone="Europe/Luxembourg")])  # fmt: skip
        books.add(
            [
                *(_part(*row) for row in PARTS),
                *(_weight(number, mass) for number, *_, mass, _ in PARTS),
                BagType(code="S", width_mm=60, height_mm=80, usable_volume_mm3=40_000, tare_g=Decimal("0.6"),
                        tare_sd_g=0.01, max_load_g=Decimal(500)),
                BoxType(code="BOX-1", length_mm=160, width_mm=110, height_mm=60, wall_mm=3, tare_g=Decimal(58),
                        tare_sd_g=0.9, max_load_g=Decimal(2000), fill_fraction=0.7),
                ScaleRecord(code="PACK", accuracy_class="III", e_g=Decimal(1), d_g=Decimal(1), max_g=Decimal(6000),
                            min_g=Decimal(20), use="packages"),
                Service(code="ROAD", name="Road parcel (invented)", kind=ServiceKind.PARCEL, countries="DE LU GB GR NA",
                        cut_off=time(16, 30), max_weight_g=Decimal(30_000), refuses="pressurised",
                        divisor_cm3_per_kg=6000, weight_step_g=500),
                Service(code="POST", name="Small packet (invented)", kind=ServiceKind.POSTAL, cut_off=time(14),
                        max_weight_g=Decimal(2000), refuses="flammable", size_preset="letter-post small packet"),
                Zone(service_code="ROAD", country="*", zone="1"), Zone(service_code="ROAD", country="GB", zone="2"),
                Zone(service_code="POST", country="*", zone="world"),
                *(_price("ROAD", zone, up_to, price) for zone, up_to, price in
                  (("1", 500, 690), ("1", 5000, 990), ("2", 500, 1290), ("2", 5000, 1690))),
                *(_price("POST", "world", up_to, price) for up_to, price in ((500, 520), (2000, 1380))),
                SdrRateEntry(currency="EUR", as_of=date(2026, 2, 27), per_sdr="1.15", source="invented"),
                SdrRateEntry(currency="GBP", as_of=date(2026, 2, 27), per_sdr="1.00", source="invented"),
                *(Bin(code=f"B-{number}", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=300, part_number=number,
                      pieces=0) for number, *_ in PARTS),
                WalkRecord(number="W1", day=DAY, length_mm=1000, orders=4, stops=4, released_at=NOW),
            ]
        )  # fmt: skip
        counted = [bin_move(part_number=number, bin_code=f"B-{number}", pieces=1000, reason="counted", source="test")
                   for number, *_ in PARTS]  # fmt: skip
        books.move(stock=counted, at=NOW, person="ann")
        for place, order in enumerate(ORDERS, start=1):
            pack(books, place, order, LINES[order[0]])


def _part(number: str, description: str, customs: str, hs_code: str, origin: str, _mass: str, hazards: str) -> Part:
    return Part(number=number, description=description, family="part", bulk_volume_mm3=100.0, longest_mm=20,
                supply=Supply.BUY, price_minor=6, currency="EUR", customs_description=customs, hs_code=hs_code,
                origin=origin, hazards=hazards)  # fmt: skip


def _weight(number: str, mass: str) -> UnitWeight:
    return UnitWeight(part_number=number, mean_g=float(mass), u_g=0.001, piece_sd_g=0.009, sample_pieces=100,
                      source=WeightSource.SAMPLED)  # fmt: skip


def _price(service: str, zone: str, up_to_g: int, minor: int) -> Price:
    return Price(service_code=service, valid_from=date(2026, 1, 1), zone=zone, up_to_g=up_to_g, price_minor=minor,
                 currency="EUR")  # fmt: skip


def pack(books: Books, place: int, order: OrderRow, lines: Sequence[tuple[str, int, int]]) -> None:
    """Writes an order, packed and sealed in one package, at a place of the cart."""
    number, name, city, post_code, country, service, currency = order
    record = Order(number=number, source="web", received_at=NOW, name=name, street="Sample Street 1", city=city,
                   post_code=post_code, country=country, service_code=service, currency=currency,
                   phone="+352 000 000 0000", email="one@example.org")  # fmt: skip
    listed = [OrderLine(order_number=number, line_no=line_no, part_number=part, pieces=pieces, unit_price_minor=price)
              for line_no, (part, pieces, price) in enumerate(lines, start=1)]  # fmt: skip
    books.add_orders([(record, listed)])
    masses = {part: Decimal(mass) for part, *_, mass, _ in PARTS}
    net_g = sum((pieces * masses[part] for part, pieces, _ in lines), Decimal(0))
    gross_g = (net_g + 58 + len(lines)).quantize(Decimal(1))
    package = next_code(books, "P", DAY)
    books.add([Package(number=package, order_number=number, service_code=service, box_type="BOX-1",
                       state=PackageState.SEALED, expected_g=gross_g, lower_g=gross_g - 3, upper_g=gross_g + 3,
                       gross_g=gross_g, visible_from_g=Decimal(5), sealed_at=NOW)])  # fmt: skip
    bags = [
        Bag(code=f"B{place}{line.line_no}", order_number=number, line_no=line.line_no, part_number=line.part_number,
            bin_code=f"B-{line.part_number}", pieces=line.pieces, bag_type="S", walk_number="W1", cart_position=place,
            stop_no=line.line_no, method=CountMethod.WEIGH, scale_code="PACK", tare_g=Decimal("0.6"),
            state=BagState.PACKED, package_number=package)
        for line in listed
    ]  # fmt: skip
    books.add(bags)
    place_bags(books, bags, at=NOW)
    seal_packages(books, [books.need(Package, package)], at=NOW)
    books.add([WeighingRecord(at=NOW, person="bob", scale_code="PACK", kind=WeighedKind.PACKAGE, subject=package,
                              indication_g=gross_g, verdict=Verdict.PASSED)])  # fmt: skip
