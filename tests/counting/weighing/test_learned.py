"""What passed bags teach, and what has drifted."""

from datetime import timedelta
from decimal import Decimal

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.drift import drift_of_day
from fulfil.counting.learning import learn_day
from fulfil.counting.papers import drift_chart_sheets
from fulfil.counting.sample_estimate import Sample
from fulfil.counting.sample_witnesses import Right
from fulfil.counting.samples import take_sample
from fulfil.records.part import UnitWeight
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from fulfil.store.shop import Shop
from tests.counting.weighing.steps import AT, DAY, SCREW, bags_of, part, place


def test_passed_bags_make_the_unit_weight_better_known_and_twice_is_once(shop: Shop):
    """Mean between sample and bags, smaller u; the sample's own figures are kept; learning again changes nothing."""
    bags_of(shop, ["36.66", "36.70", "36.64"])

    first = learn_day(shop, day=DAY, at=AT, person="ann")
    again = learn_day(shop, day=DAY, at=AT, person="ann")

    after = first.weights[0].after
    assert 0.9 < after.mean_g < (36.667 - 0.62) / 40
    assert after.u_g < SCREW.u_g
    assert (after.sample_mean_g, after.sample_u_g, after.learned_n) == (0.9, SCREW.u_g, 3)
    assert after.as_of == DAY
    assert [one.after for one in again.weights] == [after]


def test_failed_bags_are_not_learned_from_and_hand_recounted_ones_are(shop: Shop):
    """A reading outside its window teaches nothing; the same reading with a hand count does, without a window."""
    bags_of(shop, ["37.52", "36.62"])
    failed = learn_day(shop, day=DAY, at=AT, person="ann")
    with shop.reading() as books:
        assert books.need(Bag, "BAG-W-1-0").state is BagState.RECOUNT
    assert failed.n == 1

    check_bag(shop, "BAG-W-1-0", Seen(gross_g=Decimal("36.90"), counted=40), at=AT, person="bo")
    counted = learn_day(shop, day=DAY, at=AT, person="ann")

    assert counted.n == 2
    assert counted.weights[0].after.mean_g > failed.weights[0].after.mean_g


def test_a_verdict_that_was_taken_back_is_not_learned_from(shop: Shop):
    """The bag is open again: its weighing stays recorded and teaches nothing; weighed again, only the last one does."""
    bags_of(shop, ["36.66"])
    with shop.writing() as books:
        books.replace([books.need(Bag, "BAG-W-1-0").model_copy(update={"state": BagState.RECOUNT})])
    assert learn_day(shop, day=DAY, at=AT, person="ann").n == 0

    with shop.writing() as books:
        books.add([books.find(WeighingRecord)[0].model_copy(update={"indication_g": Decimal("36.58")})])
        books.replace([books.need(Bag, "BAG-W-1-0").model_copy(update={"state": BagState.PASSED})])
    learned = learn_day(shop, day=DAY, at=AT, person="ann")

    assert learned.n == 1
    assert learned.weights[0].after.mean_g < 0.9


def test_a_drifting_lot_is_out_until_it_is_sampled_again(shop: Shop):
    """Each bag passes, together they don't: an alarm with what to do; then a sample, and the chart begins anew."""
    sample = Sample(400, Decimal("360.00"))
    take_sample(shop, "SCREW", sample, at=AT - timedelta(hours=1), person="ann", lot="L1", scale_code="BENCH")
    bags_of(shop, ["36.62", "36.60", "36.83", "36.84", "36.82", "36.85", "36.83", "36.84", "36.86"])

    learned = learn_day(shop, day=DAY, at=AT, person="ann")

    with shop.reading() as books:
        drift = drift_of_day(books, DAY)
        assert all(bag.state is BagState.PASSED for bag in books.find(Bag))
    assert [(alarm.subject_kind, alarm.subject) for alarm in drift.alarms] == [("part", "SCREW")]
    assert learned.left_out >= 6
    assert abs(learned.weights[0].after.mean_g - 0.9) < 0.0005
    finding = drift.findings[0]
    assert finding.source == "part SCREW"
    assert "sample the bin again" in finding.do
    sheet = next(sheet for sheet in drift_chart_sheets(drift) if sheet.is_out)
    assert sheet.average.rings
    assert sheet.heading == "Part SCREW, lot L1"

    take_sample(
        shop, "SCREW", Sample(400, Decimal("362.20")), at=AT + timedelta(hours=1), person="ann", lot="L1",
        right=Right.GROUP, reason="counted twice: the coating is heavier now",
    )  # fmt: skip
    with shop.reading() as books:
        assert drift_of_day(books, DAY).alarms == ()


def test_a_scale_that_is_off_for_every_part_is_named_not_the_parts(shop: Shop):
    """Three parts in one type of bag, all 0.1 g heavy from some time on: the scale, and what it can't tell apart."""
    with shop.writing() as books:
        for number, mean in (("HOOK", 0.9), ("PIN", 1.3), ("RING", 1.7)):
            books.add([part(number)])
            books.add([UnitWeight(**SCREW.model_dump() | {"part_number": number, "lot": "L1", "mean_g": mean,
                                                          "u_g": 0.0002, "piece_sd_g": 0.002})])  # fmt: skip
            books.replace([place("B-1", number, 5000, "L1")])
    for number, mean in (("HOOK", 0.9), ("PIN", 1.3), ("RING", 1.7)):
        with shop.writing() as books:
            books.replace([place("B-1", number, books.need(Bin, "B-1").pieces, "L1")])
        right = f"{0.62 + 40 * mean:.2f}"
        bags_of(shop, [right] * 4, part_number=number, code=f"A-{number}")
    for number, mean in (("HOOK", 0.9), ("PIN", 1.3), ("RING", 1.7)):
        with shop.writing() as books:
            books.replace([place("B-1", number, books.need(Bin, "B-1").pieces, "L1")])
        bags_of(shop, [f"{0.72 + 40 * mean:.2f}"] * 4, part_number=number, code=f"B-{number}", after=60)

    with shop.reading() as books:
        found = drift_of_day(books, DAY)

    assert [(alarm.subject_kind, alarm.subject) for alarm in found.alarms] == [("scale", "BENCH")]
    assert "can't tell scale zero or scale span or tare apart" in found.alarms[0].sentence
