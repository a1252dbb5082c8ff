"""A scale's alarm stands until somebody says what was done, and what it weighed until then teaches nothing."""

from datetime import timedelta

import pytest

from fulfil.counting.drift import drift_of_day
from fulfil.counting.learning import learn_day
from fulfil.counting.scale_alarms import act_on_alarm, standing_alarms
from fulfil.errors import StateRefused
from fulfil.records.part import UnitWeight
from fulfil.records.place import Bin
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from tests.counting.weighing.steps import AT, DAY, SCREW, bags_of, part, place

PARTS = (("HOOK", 0.9), ("PIN", 1.3), ("RING", 1.7))


@pytest.fixture
def shifted(shop: Shop) -> Shop:
    """Three parts in one type of bag, right at first, then all 0.1 g heavy."""
    for number, mean in PARTS:
        with shop.writing() as books:
            books.add([part(number)])
            books.add([UnitWeight(**SCREW.model_dump() | {"part_number": number, "lot": "L1", "mean_g": mean,
                                                          "u_g": 0.0002, "piece_sd_g": 0.002})])  # fmt: skip
    weigh(shop, "A", 0.0, 0)
    weigh(shop, "B", 0.1, 60)
    return shop


def weigh(shop: Shop, code: str, shift_g: float, after: int) -> None:
    """Four bags of 40 of each part, all off by as much."""
    for number, mean in PARTS:
        with shop.writing() as books:
            books.replace([place("B-1", number, books.need(Bin, "B-1").pieces, "L1")])
        bags_of(shop, [f"{0.62 + 40 * mean + shift_g:.2f}"] * 4, part_number=number, code=f"{code}-{number}",
                after=after)  # fmt: skip


def means(books: Books) -> list[float]:
    """The unit weights of the three parts."""
    return [books.need(UnitWeight, number, "L1").mean_g for number, _ in PARTS]


def test_the_alarm_stands_and_learning_stops_until_somebody_acts(shifted: Shop) -> None:
    """Learned again and again with the same shift, the unit weights stay; acted on, later weighings teach again."""
    learn_day(shifted, day=DAY, at=AT + timedelta(hours=9), person="ann")
    with shifted.reading() as books:
        (alarm,) = standing_alarms(books)
        before = means(books)
    assert alarm.scale_code == "BENCH"
    for number, (_, mean) in zip(range(3), PARTS, strict=True):
        assert abs(before[number] - mean) < 0.0003

    for again in range(1, 4):
        weigh(shifted, f"C{again}", 0.1, 60 + 60 * again)
        left_out = learn_day(shifted, day=DAY, at=AT + timedelta(hours=9 + again), person="ann").left_out
        assert left_out >= 12 * again
    with shifted.reading() as books:
        assert means(books) == pytest.approx(before, abs=1e-12)
        assert standing_alarms(books) == (alarm,)
        tomorrow = drift_of_day(books, DAY + timedelta(days=1))
    (finding,) = tomorrow.findings
    assert finding.value == "not acted on"
    assert finding.do.endswith("then fulfil scales acted-on BENCH")

    with shifted.writing() as books:
        act_on_alarm(books, "BENCH", "adjusted", at=AT + timedelta(hours=20), person="bo")
    weigh(shifted, "D", 0.0, 20 * 60)
    with shifted.reading() as books:
        assert drift_of_day(books, DAY + timedelta(days=1)).findings == ()
    learn_day(shifted, day=DAY, at=AT + timedelta(hours=22), person="ann")
    with shifted.reading() as books:
        # What was weighed under the alarm still teaches nothing.
        for mean_g, (_, mean) in zip(means(books), PARTS, strict=True):
            assert abs(mean_g - mean) < 0.0003


def test_acting_needs_an_alarm_and_words(shifted: Shop) -> None:
    """No alarm, no act; an act without words is none."""
    with shifted.writing() as books, pytest.raises(StateRefused, match="an alarm that stands"):
        act_on_alarm(books, "BENCH", "adjusted", at=AT, person="bo")
    learn_day(shifted, day=DAY, at=AT + timedelta(hours=9), person="ann")
    with shifted.writing() as books, pytest.raises(StateRefused, match="what was done, in words"):
        act_on_alarm(books, "BENCH", "  ", at=AT, person="bo")
