"""Which parts to sample: time saved by hand figures, nothing for what no sample helps."""

from datetime import timedelta

import pytest

from fulfil.counting.worth_sampling import worth_sampling
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.store.shop import Shop
from tests.counting.weighing.steps import AT, DAY, part, place


def ordered(shop: Shop, number: str, mean_g: float, *lines: int) -> None:
    """A part of a drawing's weight with lines ordered today."""
    with shop.writing() as books:
        books.add([part(number), place(f"B-{number}", number, lot="")])
        books.add([UnitWeight(part_number=number, mean_g=mean_g, u_g=mean_g / 20, piece_sd_g=mean_g / 200,
                              sample_pieces=0, source=WeightSource.GEOMETRY)])  # fmt: skip
        order = Order(
            number=f"O-{number}", source="web", received_at=AT, name="Invented Person", street="1 Sample Lane",
            city="Sampleton", country="NA", service_code="post", currency="EUR",
        )  # fmt: skip
        books.add_orders([(order, [
            OrderLine(order_number=order.number, line_no=i, part_number=number, pieces=n, unit_price_minor=6)
            for i, n in enumerate(lines, start=1)
        ])])  # fmt: skip


def test_the_part_that_saves_most_comes_first(shop: Shop) -> None:
    """Five lines of 60 nuts by hand: 2 × 300 s; weighed 2 × 50 s; the sample 50 + 11 × 10 s: 340 s saved. By hand."""
    ordered(shop, "WING", 2.0, 60, 60, 60, 60, 60)
    ordered(shop, "EYE", 2.0, 60, 60, 60)
    ordered(shop, "DUST", 0.005, 60, 60, 60, 60, 60)
    ordered(shop, "RARE", 2.0, 20)
    with shop.reading() as books:
        found = worth_sampling(books, DAY)
        later = worth_sampling(books, DAY + timedelta(weeks=8))
        one = worth_sampling(books, DAY, most=1)
    assert [worth.part_number for worth in found] == ["WING", "EYE"]
    assert (found[0].now_s, found[0].then_s, found[0].sample_s) == (600.0, 100.0, 160.0)
    assert found[0].saves_s == pytest.approx(340.0)
    assert found[1].saves_s == pytest.approx(360 - 60 - 160)
    assert one == found[:1]
    assert later == ()
