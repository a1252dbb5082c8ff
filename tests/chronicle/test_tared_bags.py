"""Bags on the tared scale, in pours, counted up by hand, or counted up; what to sample; alarms of scales."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fulfil.bench.check import BagCheck, Seen, check_bag, undo_check
from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.counting.budgets import bag_budget, budget_lines
from fulfil.counting.drift import drift_of_day
from fulfil.counting.learning import learn_day
from fulfil.counting.passed_bags import known_counts
from fulfil.counting.scale_alarms import act_on_alarm, is_under_alarm, keep_alarms, standing_alarms
from fulfil.counting.timed_checks import timed_checks
from fulfil.counting.told_pours import read_pour, tell_pours
from fulfil.counting.worth_sampling import MOST_PARTS, worth_sampling
from fulfil.documents import sheets_of
from fulfil.records.equipment import ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.place import ElementKind, RoomElement
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.records.tiny import SERVICE
from fulfil.store.shop import Shop, open_shop
from tests.chronicle.telling import Chronicle
from tests.counting.weighing.steps import (
    AT,
    BENCH,
    DAY,
    FINE,
    HAND,
    LARGE,
    PIN,
    SMALL,
    part,
    place,
    planned_bag,
)
from tests.who import Who


def later(minutes: int) -> Who:
    """Some time after the first step, by somebody who is not the picker."""
    return Who(at=AT + timedelta(minutes=minutes), person="bo")


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Two scales, two types of bag, no part yet."""
    with open_shop(tmp_path / "shop.sqlite", create=True) as opened:
        with opened.writing() as books:
            books.add([FINE, BENCH, SMALL, LARGE, SERVICE])
            books.add([RoomElement(kind=ElementKind.AISLE, name="1", x_mm=1000)])
            books.add([RoomElement(kind=ElementKind.CROSS_AISLE, name=str(y), y_mm=y) for y in (0, 9000)])
            books.add([RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=1000)])
        yield opened


def checked(shop: Shop, bag: Bag, *pours: str, minutes: int = 5, **seen: Any) -> BagCheck:
    """The check of a bag."""
    return check_bag(shop, bag.code, Seen(pours=tuple(map(read_pour, pours)), **seen), **later(minutes))


def undone(shop: Shop, code: str, minutes: int) -> Bag:
    """The last verdict on a bag taken back."""
    with shop.writing() as books:
        return undo_check(books, code, **later(minutes))


def test_bags_that_are_tared_or_poured(shop: Shop) -> None:
    """Right, short, over, between two counts, not tared, too large, undone; on paper and as evidence."""
    told = Chronicle(shop, "counting/tared-bags")
    one = planned_bag(shop, PIN, 40)
    told.tell("a bag to tare", one)
    told.tell("right", checked(shop, one, gross_g=Decimal("2.004")))
    told.tell("undone", undone(shop, one.code, 6))
    told.tell("a piece short", checked(shop, one, gross_g=Decimal("1.953"), minutes=7))
    told.tell("undone again", undone(shop, one.code, 8))
    told.tell("not tared", checked(shop, one, gross_g=Decimal("2.624"), minutes=9))
    told.tell("a piece over", checked(shop, one, gross_g=Decimal("2.051"), minutes=10))
    told.tell("counted and weighed", checked(shop, one, gross_g=Decimal("2.000"), counted=40, minutes=11))
    two = planned_bag(shop, PIN, 400, "B-2")
    told.tell("a bag in pours", two)
    told.tell("short", checked(shop, two, "5.003", "4.998", "5.001", "4.950", minutes=20))
    told.tell("odd", checked(shop, two, "5.003", "4.998", "5.025", "4.950", minutes=21))
    told.refused(
        "not told",
        lambda: checked(shop, two, "20.001"),
        lambda: checked(shop, two, gross_g=Decimal("20.001")),
        lambda: checked(shop, two, "0.0005"),
        lambda: checked(shop, two, "250.000"),
        lambda: checked(shop, two),
    )
    told.tell("over: held", checked(shop, two, "5.003", "4.998", "5.001", "5.053", minutes=22))
    three = planned_bag(shop, PIN, 400, "B-3")
    told.tell("other lots", checked(shop, three, "4.752", "5.049", "5.103", "5.098", minutes=23))
    four = planned_bag(shop, PIN, 90, "B-4")
    told.tell("one pour of a bag that was planned for none", [four.method, checked(shop, four, "4.501", minutes=24)])
    told.tell("seen", checked(shop, planned_bag(shop, PIN, 41, "B-5"), looks_wrong="rust", is_damaged=True, minutes=25))
    told.tell("let through", checked(shop, planned_bag(shop, PIN, 42, "B-6"), unchecked_by="1 of 5", minutes=26))
    with shop.reading() as books:
        told.each("what the day knows", [known_counts(books, DAY), *timed_checks(books, DAY + timedelta(days=1))])
        for code in ("B-1", "B-2", "B-3", "B-4"):
            budget = bag_budget(books, books.need(Bag, code))
            told.each(f"budget of {code}", [] if budget is None else [budget, *budget_lines(budget)])
        for pours in (["5.003"], ["5.003", "4.998", "5.001"], ["5.003", "4.998", "5.001", "4.999"]):
            told.tell(f"{len(pours)} pours", tell_pours(books, two, [*map(read_pour, pours)], FINE))
    for code in ("B-1", "B-2", "B-3"):
        told.each(f"evidence of {code}", sheets_of(shop, f"V{code}", at=AT))
    told.is_as_recorded()


def test_what_the_bench_says_of_a_poured_bag(shop: Shop) -> None:
    """Its pieces and how many pours, in this order; of a tared one that the scale is tared first."""
    poured, tared = planned_bag(shop, PIN, 400), planned_bag(shop, PIN, 40, "B-2")
    facts = FactsOfCheck(KeptIndex())
    with shop.reading() as books:
        told = [facts.of_bag(books, bag) for bag in (poured, tared)]
    assert [one.pours for one in told] == [4, 0]
    assert [one.how for one in told] == [
        "Cup on. Each time: TARE to 0, pour up to 100, type it.", "Empty cup on, TARE to 0, pour the bag in.",
    ]  # fmt: skip


def test_no_more_than_twenty_parts_are_worth_naming(shop: Shop) -> None:
    """A list that one person can sample in a day (judgement)."""
    for number in range(MOST_PARTS + 1):
        ordered(shop, f"P-{number:02}", {"mean_g": 2.0}, 0, 60, 60, 60)
    with shop.reading() as books:
        found = worth_sampling(books, DAY)
        assert [one.part_number for one in found] == [f"P-{number:02}" for number in range(20)]
        assert len(worth_sampling(books, DAY, most=99)) == 21


def test_a_bag_that_is_counted_up(shop: Shop) -> None:
    """Two lots by hand, then pours; a wrong first lot, a small second one; what the catalogue says; a light part."""
    told = Chronicle(shop, "counting/counted-up")
    bag = planned_bag(shop, HAND, 100)
    with shop.reading() as books:
        for pours in (["10:49.00"], ["20:98.00"], ["10:49.00", "15:73.51"], ["10:49.00", "15:73.51", "196.0"]):
            found = tell_pours(books, bag, [*map(read_pour, pours)], BENCH)
            told.tell(f"told {' '.join(pours)}", [found, found.pieces, found.sum_words])
    told.refused(
        "not proven",
        lambda: checked(shop, bag, "10:46.55", "15:73.51", "367.5"),
        lambda: checked(shop, bag, "10:49.00", "10:49.00", "392.0"),
        lambda: checked(shop, bag, "10:49.00", "15:75.95", "367.5"),
        lambda: checked(shop, bag, "10:49.00", "367.5"),
        lambda: checked(shop, bag, "10:41.00", "15:61.5", "307.5"),
        lambda: checked(shop, bag, "367.5"),
        lambda: checked(shop, bag, "1:5.00", "15:73.51", "367.5"),
        lambda: checked(shop, bag, "10:49.00"),
        lambda: checked(shop, bag, "10:49.00", "15:73.51", "14:73.51"),
        lambda: read_pour("x:49"),
        lambda: read_pour("10:"),
    )
    with shop.reading() as books:
        told.refused("no pours", lambda: tell_pours(books, bag, [], BENCH))
    told.tell("right", checked(shop, bag, "10:49.00", "15:73.51", "367.5"))
    light = revised(HAND, {"mean_g": 0.01, "u_g": 0.0005, "piece_sd_g": 1e-4})
    dust = planned_bag(shop, light, 100, "B-9")
    told.refused("too light", lambda: checked(shop, dust, "10:0.10", "15:0.15", "0.75", scale_code="FINE"))
    with shop.writing() as books:
        books.remove(UnitWeight, part_number="PIN")
    plain = planned_bag(shop, revised(HAND, {"piece_sd_g": 0.0}), 100, "B-10")
    told.refused("of no known scatter", lambda: checked(shop, plain, "10:49.00", "15:73.51", "367.5"))
    lots = ("10:49.00", "15:73.51", "122.5", "122.5", "122.5")
    told.tell("in smaller lots", checked(shop, plain, *lots, minutes=30))
    told.is_as_recorded()


def ordered(shop: Shop, number: str, weight: dict[str, Any], days: int, *lines: int) -> None:
    """A part whose lines were ordered so many days ago."""
    with shop.writing() as books:
        books.replace([part(number)])
        books.replace([place(f"B-{number}", number, lot=weight.get("lot", ""))])
        given = {"part_number": number, "u_g": weight["mean_g"] / 20, "piece_sd_g": weight["mean_g"] / 200,
                 "sample_pieces": 0, "source": WeightSource.GEOMETRY}  # fmt: skip
        books.replace([UnitWeight.model_validate(given | weight)])
        order = Order(
            number=f"O-{number}-{days}", source="web", received_at=AT - timedelta(days=days), name="Invented Person",
            street="1 Sample Lane", city="Sampleton", country="NA", service_code="post", currency="EUR",
        )  # fmt: skip
        listed = [
            OrderLine(order_number=order.number, line_no=i, part_number=number, pieces=n, unit_price_minor=6)
            for i, n in enumerate(lines, start=1)
        ]
        books.add_orders([(order, listed)])


def test_which_parts_to_sample(shop: Shop) -> None:
    """By what the last four weeks ordered; a part that a sample can't help isn't named; ties by number."""
    told = Chronicle(shop, "counting/worth-sampling")
    ordered(shop, "WING", {"mean_g": 2.0}, 0, *[60, 60, 60] * 4)
    ordered(shop, "WING", {"mean_g": 2.0}, 13, *[80, 40, 45] * 4)
    ordered(shop, "EYE", {"mean_g": 2.0}, 3, *[60, 60, 60, 60, 70] * 4)
    ordered(shop, "AYE", {"mean_g": 2.0}, 3, *[60, 60, 60, 60, 70] * 4)
    ordered(shop, "TINY", {"mean_g": 0.06}, 1, *[200, 300, 350, 400] * 4)
    ordered(shop, "DUST", {"mean_g": 0.005}, 0, 60, 60, *[60, 60, 60] * 4)
    ordered(shop, "RARE", {"mean_g": 2.0}, 0, 20)
    ordered(shop, "LOT", {"mean_g": 2.0, "lot": "L1", "sample_pieces": 20, "source": WeightSource.SAMPLED, "u_g": 0.02,
                          "piece_sd_g": 0.05}, 0, *[90, 200, 250, 260, 270, 350] * 4)  # fmt: skip
    ordered(shop, "OLD", {"mean_g": 2.0}, 28, 300, 300, 300)
    ordered(shop, "OLDER", {"mean_g": 2.0}, 29, 900, 900, 900, 900)
    with shop.reading() as books:
        for days in (-1, 0, 1, 14, 27, 28, 29, 60):
            found = worth_sampling(books, DAY + timedelta(days=days))
            told.each(f"after {days} days", [(one, one.saves_s) for one in found])
        told.each("the best two", worth_sampling(books, DAY, most=2))
    with shop.writing() as books:
        books.remove(ScaleRecord, code="FINE")
        books.remove(ScaleRecord, code="BENCH")
    with shop.reading() as books:
        told.each("without a scale", worth_sampling(books, DAY))
    told.is_as_recorded()


def test_alarms_of_scales(shop: Shop) -> None:
    """Kept once, until somebody says what was done; what was weighed meanwhile is under it."""
    told = Chronicle(shop, "counting/scale-alarms")
    with shop.writing() as books:
        keep_alarms(books, [("BENCH", AT, "reads high " * 30, "check it"), ("FINE", AT, "low", "x" * 300)], at=AT)
    told.tell("kept")
    with shop.writing() as books:
        keep_alarms(books, [("BENCH", AT + timedelta(hours=1), "again", "check it")], at=AT + timedelta(hours=2))
        told.each("standing", standing_alarms(books))
        told.each("the day", [drift_of_day(books, DAY + timedelta(days=1))])
    with shop.writing() as books:
        told.refused(
            "no act",
            lambda: act_on_alarm(books, "BENCH", " ", **later(1)),
            lambda: act_on_alarm(books, "NONE", "adjusted", **later(1)),
        )
        done = act_on_alarm(books, "BENCH", " adjusted " * 30, **later(60))
    told.tell("acted on", done)
    with shop.writing() as books:
        told.refused("twice", lambda: act_on_alarm(books, "BENCH", "adjusted", **later(61)))
        told.each("standing then", standing_alarms(books))
        moments = [timedelta(seconds=s) for s in (-1, 0, 1, 3599, 3600, 3601)]
        told.tell("under it", [is_under_alarm([done], "BENCH", AT + one) for one in moments])
        told.tell("another scale", is_under_alarm([done], "FINE", AT))
        told.tell("none acted", is_under_alarm(standing_alarms(books), "FINE", AT + timedelta(days=9)))
        keep_alarms(books, [("BENCH", AT + timedelta(hours=2), "again", "check it")], at=AT + timedelta(hours=2))
    told.tell("a new one", learn_day(shop, day=DAY, **later(200)))
    told.is_as_recorded()
