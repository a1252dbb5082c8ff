"""A small invented shop of three parts, and the steps of an order through it."""

from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.order_papers import partial_note_sheet
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.ship import close_manifest
from fulfil.errors import StateRefused
from fulfil.orders.holding import cancel_order
from fulfil.orders.importing import add_order
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, CountMethod, WalkRecord
from fulfil.records.settings import Settings
from fulfil.shop.printing import print_papers
from fulfil.stock.levels import (
    ledger_levels,
)
from fulfil.store.shop import Shop
from fulfil.walks.plan import plan_day
from tests.who import Who

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)


DAY = date(2026, 3, 2)


WHO = Who(at=NOW, person="ann")


PARTS = {"BALL": (0.11, Supply.BUY, 400), "GEAR": (3.2, Supply.MAKE, 9), "NUT": (0.4, Supply.BUY, 90)}


def fill(shop: Shop) -> None:
    """Three parts, a bin each, one scale for bags and one for packages, two services."""
    with shop.writing() as books:
        for place, (number, (mean_g, supply, _)) in enumerate(PARTS.items()):
            books.add([
                Part(number=number, description=f"Invented {number}", family=number.lower(), bulk_volume_mm3=50.0,
                     longest_mm=5, supply=supply, supplier="Invented Supplier", price_minor=10, currency="EUR"),
                UnitWeight(part_number=number, mean_g=mean_g, u_g=mean_g / 5000, piece_sd_g=mean_g / 500,
                           sample_pieces=100, source=WeightSource.SAMPLED),
                Bin(code=f"bin-{number}", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=500 * place,
                    part_number=number, pieces=0),
            ])  # fmt: skip
        books.add([
            *(RoomElement(kind=ElementKind.AISLE, name=str(n), x_mm=2000 * n) for n in (1, 2)),
            RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
            RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=9000),
            RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=2000, y_mm=0),
            ScaleRecord(code="S", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.01"), max_g=Decimal(600),
                        min_g=Decimal("0.2"),
                        repeatability_g=0.004),
            ScaleRecord(code="P", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.1"), max_g=Decimal(6000),
                        min_g=Decimal(5), use="packages"),
            BagType(code="bag", width_mm=60, height_mm=80, usable_volume_mm3=37_000, tare_g=Decimal("0.62"),
                    tare_sd_g=0.004,
                    max_load_g=Decimal(200)),
            BoxType(code="box", length_mm=160, width_mm=110, height_mm=60, tare_g=Decimal(58), tare_sd_g=0.3,
                    max_load_g=Decimal(2000),
                    fill_fraction=0.7),
            Service(code="road", name="Road (invented)", kind=ServiceKind.PARCEL, countries="DE LU", cut_off=time(16,
                                                                                                                  30),
                    max_weight_g=Decimal(30000)),
            Service(code="post", name="Post (invented)", kind=ServiceKind.POSTAL, cut_off=time(14, 0),
                    max_weight_g=Decimal(2000)),
        ])  # fmt: skip
        books.replace([Settings(shop_name="Shop (invented)", street="1 Sample Lane", city="Sampleton", country="LU")])
        stock = [
            bin_move(part_number=number, bin_code=f"bin-{number}", pieces=level, reason="counted", source="first count")
            for number, (_, _, level) in PARTS.items()
        ]
        books.move(stock=stock, **WHO)


def order(shop: Shop, number: str, *asked: tuple[str, int], minutes: int = 0, **more: Any) -> None:
    """Takes an order."""
    given: dict[str, Any] = {"name": "Invented Person", "street": "Sample Street 1", "city": "Sampleton",
                             "country": "DE", "service_code": "road", "currency": "EUR",
                             "source": "phone"} | more  # fmt: skip
    taken = Order(number=number, received_at=NOW + timedelta(minutes=minutes), **given)
    lines = [
        OrderLine(order_number=number, line_no=no, part_number=part, pieces=n, unit_price_minor=10)
        for no, (part, n) in enumerate(asked, start=1)
    ]
    assert add_order(shop, taken, lines, **WHO) == []


def plan(shop: Shop, tmp_path: Path | None = None) -> None:
    """Plans; with a folder releases too."""
    plan_day(shop, day=DAY, **WHO, effort="none")
    if tmp_path is not None:
        release(shop)


def release(shop: Shop) -> None:
    """Books the release of all walks, without their papers."""
    from fulfil.walks.releasing import release_walk

    with shop.writing() as books:
        for walk in books.find(WalkRecord):
            if walk.released_at is None:
                release_walk(books, walk, **WHO)


def check_all(shop: Shop, number: str) -> None:
    """Every bag of an order passes its check."""
    for bag in found(shop, Bag, order_number=number):
        if bag.state.value == "planned":
            seen = Seen(counted=bag.pieces, gross_g=bag.target_g, scale_code=bag.scale_code)
            if bag.method is CountMethod.HAND:
                seen = Seen(counted=bag.pieces, gross_g=Decimal("9.50"), scale_code="S")
            check_bag(shop, bag.code, seen, **WHO)


def send(shop: Shop, number: str) -> None:
    """Checks, packs, weighs and ships an order."""
    check_all(shop, number)
    for package in plan_packages(shop, number, **WHO).packages:
        assert weigh_package(shop, package.number, package.expected_g, **WHO).package.state.value == "sealed"
    close_manifest(shop, "road", day=DAY, **WHO)


def found(shop: Shop, kind, **equals):
    """Records of a kind."""
    with shop.reading() as books:
        return books.find(kind, **equals)


def one(shop: Shop, kind, *key):
    """The record with a key."""
    with shop.reading() as books:
        return books.need(kind, *key)


def pieces_agree(shop: Shop) -> bool:
    """Counted = on hand + in bags + pulled + sent, and the ledger gives every level."""
    from fulfil_demo_catalog.demo_week import piece_sums

    with shop.reading() as books:
        levels = {place.code: place.pieces for place in books.find(Bin)}
        return piece_sums(books).agree and ledger_levels(books) == levels


def partial_note(shop: Shop, number: str, out: Path) -> list[Path]:
    """The note, printed."""
    order = one(shop, Order, number)
    return print_papers(shop, out, partial(partial_note_sheet, order=order, day=DAY, at=NOW))


def partial_note_is_refused_before(shop: Shop, tmp_path: Path) -> bool:
    """An order that is complete has no note."""
    order(shop, "A-9", ("BALL", 1))
    with pytest.raises(StateRefused, match="an order of which pieces follow"):
        partial_note(shop, "A-9", tmp_path)
    return cancel_order(shop, "A-9", "a test", **WHO).pulled == ()
