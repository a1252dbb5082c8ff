"""When to order again, and what a weighed delivery is: figures worked out here, apart from the package."""

from collections.abc import Iterator
from datetime import UTC, date, datetime
from decimal import Decimal
from math import ceil, floor, sqrt
from pathlib import Path

import pytest

from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, Side
from fulfil.records.settings import Settings
from fulfil.stock.jobs import count_by_weight
from fulfil.stock.levels import reorder_frame
from fulfil.store.shop import Shop, open_shop

DAY = date(2026, 9, 18)
AT = datetime(2026, 9, 18, 9, tzinfo=UTC)
MEAN_G, U_G, SD_G = 0.31, 0.0003, 0.003


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """An invented shop of harp strings' tuning pins: one part, one bin, one scale of 1 g."""
    with open_shop(tmp_path / "shop.db", create=True) as opened:
        with opened.writing() as books:
            books.replace([Settings(shop_name="Invented harps", buy_days=7, service_level=0.95)])
            books.add([
                Part(number="PEG", description="Tuning pin (invented)", family="pin", bulk_volume_mm3=90.0,
                     longest_mm=40, supply=Supply.BUY, price_minor=9, currency="EUR"),
                UnitWeight(part_number="PEG", mean_g=MEAN_G, u_g=U_G, piece_sd_g=SD_G, sample_pieces=100,
                           source=WeightSource.SAMPLED),
                Bin(code="K-1", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=500, part_number="PEG", pieces=0),
                ScaleRecord(code="ONE", accuracy_class="III", e_g=Decimal(1), d_g=Decimal(1), max_g=Decimal(6000),
                            min_g=Decimal(20), repeatability_g=0.4),
            ])  # fmt: skip
        yield opened


def _move(shop: Shop, pieces: int, reason: str) -> None:
    with shop.writing() as books:
        move = bin_move(part_number="PEG", bin_code="K-1", pieces=pieces, reason=reason, source="test")
        books.move(stock=[move], at=AT, person="ann")


@pytest.mark.parametrize(("left", "orders_now"), [(11, False), (10, True), (9, True)])
def test_a_part_is_ordered_when_its_level_has_come_down_to_the_point(shop: Shop, left: int, orders_now: bool) -> None:
    """40 used in one of four weeks: mean 10, s.d. 20; at a service level of a half the safety stock is 0, the point 10.

    *At* the point is time to order: a continuous-review policy (s, Q) orders when the position is at or below s.
    Source: Silver, Pyke & Peterson, Inventory Management and Production Planning and Scheduling, 3rd ed. 1998, section
    7.3 (quoted from memory).
    """
    with shop.writing() as books:
        settings = books.settings()
        books.replace([Settings.model_validate(settings.model_dump() | {"service_level": 0.5})])
    _move(shop, 40 + left, "counted")
    _move(shop, -40, "picked")

    with shop.reading() as books:
        (row,) = reorder_frame(books, until=DAY, weeks=4).to_dict("records")

    assert (row["used"], row["free"], row["reorder_point"], row["order_now"]) == (40, left, 10, orders_now)


def test_a_tub_that_was_weighed_empty_adds_its_own_doubt(shop: Shop) -> None:
    """Gross and tare are two weighings: u² of the net is twice u² of one (JCGM 100:2008, 5.1.2).

    One reading of the scale: repeatability 0.4 g and its interval of 1 g as a rectangle, 0.4² + 1/12 (4.3.7 there).
    930 g of pins: 3000; the interval is mean ± 1.96 times the pieces' scatter, the unit weight's and the weighings'.
    """
    gross_g, tare_g = Decimal(1030), Decimal(100)
    with shop.reading() as books:
        tared = count_by_weight(books, "PEG", "", gross_g, tare_g, "ONE")
        displayed = count_by_weight(books, "PEG", "", gross_g - tare_g, Decimal(0), "ONE")

    # Half the error permitted in service at this load: 2 × 1 e for 500 e to 2000 e (OIML R 76-1:2006, 3.5.1, 3.5.2).
    bias_g = 1.0
    one_u_g = sqrt(0.4**2 + 1 / 12 + bias_g**2)
    for count, weighings in ((tared, 2), (displayed, 1)):
        assert count.pieces == 3000
        assert count.weighing_u == pytest.approx(sqrt(weighings) * one_u_g / MEAN_G, rel=1e-6)
        u = sqrt(3000 * SD_G**2 + (3000 * U_G) ** 2 + weighings * one_u_g**2) / MEAN_G
        assert count.lower == pytest.approx(ceil(3000 - 1.959964 * u), abs=1)
        assert count.upper == pytest.approx(floor(3000 + 1.959964 * u), abs=1)
    assert tared.weighing_u > displayed.weighing_u
