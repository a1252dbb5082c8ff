"""The alarm of a part or of a bag type stands until somebody acts, and what was weighed until then teaches nothing."""

from datetime import timedelta

import pytest

from fulfil.counting.drift import drift_of_day
from fulfil.counting.goods_alarms import act_on_goods, standing_goods
from fulfil.counting.learning import learn_day
from fulfil.counting.scale_alarms import standing_alarms
from fulfil.errors import StateRefused
from fulfil.records.part import UnitWeight
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.weighing import AlarmedGoods
from fulfil.store.shop import Shop
from fulfil.weighing.learning.drift import drift_alarms
from fulfil.weighing.learning.drift_cause import DriftCause
from tests.counting.weighing.steps import AT, DAY, LARGE, SCREW, SMALL, bags_of, part, place


@pytest.fixture
def coated(shop: Shop) -> Shop:
    """One part, right at first, then half a percent heavier a piece: others are in its bin."""
    with shop.writing() as books:
        books.add([part("HOOK")])
        books.add([UnitWeight(**SCREW.model_dump() | {"part_number": "HOOK", "lot": "L1", "mean_g": 0.9, "u_g": 0.0002,
                                                      "piece_sd_g": 0.002})])  # fmt: skip
    weigh(shop, "A", 0.0, 0)
    weigh(shop, "B", 0.18, 60)
    return shop


def weigh(shop: Shop, code: str, shift_g: float, after: int, bags: int = 6) -> None:
    """Bags of 40 hooks, all off by as much."""
    with shop.writing() as books:
        books.replace([place("B-1", "HOOK", books.need(Bin, "B-1").pieces, "L1")])
    bags_of(shop, [f"{0.62 + 40 * 0.9 + shift_g:.2f}"] * bags, part_number="HOOK", code=code, after=after)


def learned(shop: Shop, hours: int) -> float:
    """Learns, and gives the unit weight."""
    learn_day(shop, day=DAY, at=AT + timedelta(hours=hours), person="ann")
    with shop.reading() as books:
        return books.need(UnitWeight, "HOOK", "L1").mean_g


def test_a_parts_alarm_stands_until_somebody_acts(coated: Shop) -> None:
    """However many right-looking weighings come after it; acted on, later ones teach again, those before never."""
    before = learned(coated, 9)
    with coated.reading() as books:
        (alarm,) = standing_goods(books)
    assert (alarm.kind, alarm.subject, alarm.lot) == (AlarmedGoods.PART, "HOOK", "L1")
    # More than the twenty weighings that a chart looks back: the alarm would have faded from it.
    for again in range(4):
        weigh(coated, f"C{again}", 0.0, 120 + 20 * again)
        assert learned(coated, 10 + again) == pytest.approx(before, abs=1e-12)
    with coated.reading() as books:
        assert standing_goods(books) == (alarm,)
        findings = drift_of_day(books, DAY + timedelta(days=1)).findings
    assert [one.value for one in findings] == ["not acted on"]
    assert findings[0].do.endswith("then fulfil parts acted-on HOOK --lot L1")

    with coated.writing() as books:
        with pytest.raises(StateRefused, match="what was done, in words"):
            act_on_goods(books, AlarmedGoods.PART, "HOOK", " ", at=AT, person="bo", lot="L1")
        with pytest.raises(StateRefused, match="of it stands lot L1"):
            act_on_goods(books, AlarmedGoods.PART, "HOOK", "cleared", at=AT, person="bo")
        done = act_on_goods(
            books, AlarmedGoods.PART, "HOOK", "coated ones out", at=AT + timedelta(hours=15), person="bo", lot="L1"
        )
    assert (done.acted_by, done.reason) == ("bo", "coated ones out")
    weigh(coated, "D", 0.0, 16 * 60)
    with coated.reading() as books:
        assert standing_goods(books) == ()
        assert drift_of_day(books, DAY).findings == ()
    assert learned(coated, 18) == pytest.approx(0.9, abs=2e-4)


def test_a_new_sample_ends_a_parts_alarm(coated: Shop) -> None:
    """Its new unit weight is what the pieces weigh now."""
    learned(coated, 9)
    with coated.writing() as books:
        weight = books.need(UnitWeight, "HOOK", "L1")
        books.replace([revised(weight, {"sampled_at": AT + timedelta(hours=10)})])
        assert standing_goods(books) == ()


def test_a_heavier_delivery_of_bags_is_the_bags_alarm(shop: Shop) -> None:
    """Three parts on two scales, the same 0.06 g on all in one type of bag: no scale, no part is blamed."""
    rows = [(f"P{row % 3}", "FINE" if row % 2 else "BENCH", "SMALL" if row % 4 < 2 else "LARGE") for row in range(240)]
    found = drift_alarms(
        part_numbers=[one for one, _, _ in rows],
        lots=["L1"] * len(rows),
        scales=[one for _, one, _ in rows],
        bag_types=[one for _, _, one in rows],
        residual_g=[
            0.06 if bag == "SMALL" and row >= 60 else 0.02 * (-1) ** row for row, (_, _, bag) in enumerate(rows)
        ],
        expected_g=[36.0 + 12 * (row % 3) for row in range(len(rows))],
        sd_g=[0.06] * len(rows),
    )
    assert [(one.subject_kind, one.subject, one.cause) for one in found] == [("bag type", "SMALL", DriftCause.TARE)]
    assert found[0].shift == pytest.approx(0.06, rel=0.1)


def test_tared_bags_say_nothing_of_their_type() -> None:
    """Where the scale is tared with the bag, an empty name: no bag type can be off."""
    found = drift_alarms(
        part_numbers=["P"] * 60, lots=["L"] * 60, scales=["A", "B"] * 30, bag_types=[""] * 60,
        residual_g=[0.0] * 20 + [0.1] * 40, expected_g=[36.0] * 60, sd_g=[0.05] * 60,
    )  # fmt: skip
    assert found
    assert {one.subject_kind for one in found} <= {"part", "scale"}


def test_a_bag_types_alarm_is_kept_and_acted_on(shop: Shop) -> None:
    """Small bags 0.1 g heavier, large ones right, one scale: nothing of the small is learned until somebody acts."""
    parts = (("HOOK", 0.9), ("PIN", 1.3), ("RING", 1.7))
    for number, mean in parts:
        with shop.writing() as books:
            books.add([part(number)])
            books.add([UnitWeight(**SCREW.model_dump() | {"part_number": number, "lot": "L1", "mean_g": mean,
                                                          "u_g": 0.0002, "piece_sd_g": 0.002})])  # fmt: skip
    for turn in range(6):
        for place_no, (number, mean) in enumerate(parts):
            with shop.writing() as books:
                books.replace([place("B-1", number, books.need(Bin, "B-1").pieces, "L1")])
            for bag_type, shift_g in ((SMALL, 0.1 if turn else 0.0), (LARGE, 0.0)):
                shown = f"{float(bag_type.tare_g) + 40 * mean + shift_g:.2f}"
                after = 30 * turn + 6 * place_no + (2 if bag_type is LARGE else 0)
                code = f"{bag_type.code}{turn}-{number}"
                bags_of(shop, [shown] * 2, part_number=number, code=code, after=after, bag_type=bag_type)
    learn_day(shop, day=DAY, at=AT + timedelta(hours=9), person="ann")
    with shop.reading() as books:
        (alarm,) = standing_goods(books)
        assert standing_alarms(books) == ()
        assert (alarm.kind, alarm.subject, alarm.lot) == (AlarmedGoods.BAG_TYPE, "SMALL", "")
        for number, mean in parts:
            assert books.need(UnitWeight, number, "L1").mean_g == pytest.approx(mean, abs=3e-4)
        tomorrow = drift_of_day(books, DAY + timedelta(days=1)).findings
    assert [one.do.rpartition("; ")[2] for one in tomorrow] == ["then fulfil bags acted-on SMALL"]
    with shop.writing() as books:
        act_on_goods(books, AlarmedGoods.BAG_TYPE, "SMALL", "tare set", at=AT + timedelta(hours=10), person="bo")
        assert standing_goods(books) == ()


def test_the_chart_of_a_scale_says_which_part_it_follows(coated: Shop) -> None:
    """The line leaves its limits with the hooks: a chart that shows it doesn't call the scale quiet."""
    with coated.reading() as books:
        drift = drift_of_day(books, DAY)
    (scale,) = [chart for chart in drift.charts if chart.subject_kind == "scale"]
    assert [alarm.subject_kind for alarm in drift.alarms] == ["part"]
    assert scale.sentence == "Off only where HOOK was weighed, which is off itself: do what is said there."
