"""Samples, scale checks, new lots, learning, drift and bulk counts on a small invented shop."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.count_lines import Bench, bench_of, count_line, lot_weight, weight_for_lot
from fulfil.counting.drift import drift_of_day
from fulfil.counting.learning import learn_day
from fulfil.counting.papers import counting_table_sheets, drift_chart_sheets, unit_weight_card_sheet
from fulfil.counting.readings import read_grams
from fulfil.counting.sample_estimate import Sample
from fulfil.counting.sample_witnesses import Right
from fulfil.counting.samples import take_sample
from fulfil.counting.scale_checks import record_scale_check, usable_scale, usable_scales
from fulfil.counting.scale_room import bias_shares
from fulfil.errors import QuantityRefused, Refusal, UnknownRefused, WeighingRefused
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.tiny import SERVICE
from fulfil.records.weighing import ScaleStanding, WeighedKind, WeighingRecord
from fulfil.stock.bulk_counts import count_bin_by_hand, count_bin_by_weight, goods_in
from fulfil.store.shop import Shop, open_shop
from fulfil.weighing.scale_check import CheckReading
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


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Screws of two lots, nuts of a handbook weight, springs never weighed; two scales."""
    with open_shop(tmp_path / "shop.sqlite", create=True) as opened:
        with opened.writing() as books:
            books.add([part("SCREW"), part("NUT"), part("SPRING", "spring"), FINE, BENCH, SMALL, LARGE, SERVICE])
            books.add([RoomElement(kind=ElementKind.AISLE, name="1", x_mm=1000)])
            books.add([RoomElement(kind=ElementKind.CROSS_AISLE, name=str(y), y_mm=y) for y in (0, 9000)])
            books.add([RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=1000)])
            books.add([place("B-1", "SCREW", lot="L1"), place("B-2", "SCREW", lot="L2"), place("B-3", "NUT")])
            books.add([place("B-4", "SPRING")])
            books.add([SCREW])
            books.add([UnitWeight(part_number="NUT", mean_g=1.2, u_g=0.06, piece_sd_g=0.012, sample_pieces=0,
                                  source=WeightSource.HANDBOOK)])  # fmt: skip
            books.move(
                stock=[bin_move(part_number="SCREW", bin_code="B-1", pieces=5000, reason="counted", source="test")],
                at=AT,
                person="ann",
            )
        yield opened


def bench() -> Bench:
    """Both scales and bags with the house's settings."""
    return bench_of([FINE, BENCH], [SMALL, LARGE], Settings())


# Planning


def test_the_coarsest_scale_that_holds_both_risks_is_taken():
    """40 screws go on the coarse scale; pieces below its 3 e go on the fine one."""
    light = UnitWeight(**SCREW.model_dump() | {"mean_g": 0.09, "u_g": 0.0001, "piece_sd_g": 0.0009})

    coarse = count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 40, bench())
    fine = count_line(part("SCREW"), weight_for_lot([light], "L1"), 40, bench())

    assert [bag.scale_code for bag in coarse] == ["BENCH"]
    assert [bag.scale_code for bag in fine] == ["FINE"]


@pytest.mark.parametrize("pieces", [1, 40, 94, 150, 300, 470])
def test_a_line_of_several_bags_keeps_the_line_s_risks(pieces):
    """Union bound over its bags: one piece off passes at most 0.1 %, a right bag goes back at most 0.5 %."""
    bags = count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), pieces, bench())

    assert sum(bag.pieces for bag in bags) == pieces
    if bags[0].method is CountMethod.WEIGH:
        assert sum(max(bag.p_pass_one_short, bag.p_pass_one_over) for bag in bags) <= 0.001
        assert sum(bag.p_reject for bag in bags) <= 0.005


def test_volume_alone_may_ask_for_more_bags_than_the_scale():
    """2000 mm³ a piece: a bag holds 102, so 150 go into two bags although one could be counted by weight."""
    large = part("SCREW").model_copy(update={"bulk_volume_mm3": 2000.0})
    known = SCREW.model_copy(update={"u_g": 0.0001, "piece_sd_g": 0.001})

    bags = count_line(large, weight_for_lot([known], "L1"), 150, bench())

    assert [bag.pieces for bag in bags] == [75, 75]


def test_a_lot_that_nobody_sampled_is_weighed_if_the_spread_of_lots_allows():
    """Few pieces: by the last lot with its note; many: by hand, sample first, though the sampled lot is weighed."""
    few = count_line(part("SCREW"), weight_for_lot([SCREW], "L2"), 20, bench())
    many = count_line(part("SCREW"), weight_for_lot([SCREW], "L2"), 300, bench())

    assert few[0].method is CountMethod.WEIGH
    assert few[0].reason == "lot L2 not sampled: counted by lot L1, spread of lots added"
    assert few[0].p_reject > count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 20, bench())[0].p_reject
    assert many[0].method is CountMethod.HAND
    assert many[0].reason == "sample first: new lot, lot L2 not sampled"
    assert count_line(part("SCREW"), weight_for_lot([SCREW], "L1"), 300, bench())[0].method is CountMethod.WEIGH


def test_the_spread_of_lots_is_added_once():
    """u² = u² + σ_L² (1 + 1/k), one-way random effects, k = 1 lot and half a percent by default."""
    grown = weight_for_lot([SCREW], "L2")

    assert grown.record.u_g == pytest.approx((SCREW.u_g**2 + 2 * (0.005 * 0.9) ** 2) ** 0.5)


def test_a_part_never_sampled_is_counted_by_hand():
    """A handbook value plans the bag and never passes it."""
    nut = UnitWeight(part_number="NUT", mean_g=1.2, u_g=0.06, piece_sd_g=0.012, sample_pieces=0,
                     source=WeightSource.HANDBOOK)  # fmt: skip

    assert count_line(part("NUT"), weight_for_lot([nut], ""), 5, bench())[0].reason == (
        "sample first: unit weight from handbook"
    )
    assert count_line(part("SPRING"), None, 5, bench())[0].reason == "sample first: no unit weight"


def test_the_reason_names_the_sample_that_would_do():
    """90 screws of one percent, perfectly weighed: N + N²/n ≤ 1/(Z c)² = 287.5 (Z = 5.897) first holds at 42.

    Here the s.d. is known to 10 % (50 degrees of freedom) and the scale may be off: 53.
    """
    poor = SCREW.model_copy(update={"u_g": 0.02, "sample_pieces": 2})

    reason = count_line(part("SCREW"), weight_for_lot([poor], "L1"), 90, bench())[0].reason

    assert reason == "one piece more or less can't be seen on a scale here; a sample of 53 pieces would do"


# Scale checks


def test_a_scale_that_fails_is_stopped_everywhere_until_it_passes(shop: Shop):
    """Refused for samples and by name, left out of the bench; passing again lifts it; readings are all kept."""
    failed = record_scale_check(shop, "BENCH", [CheckReading(Decimal(100), Decimal("100.30"))], at=AT, person="ann")
    assert not failed.standing.has_passed
    assert "error +0.30 g, permitted 0.1 g" in failed.standing.reason
    with shop.reading() as books:
        assert [scale.code for scale in usable_scales(books)] == ["FINE"]
        with pytest.raises(WeighingRefused) as refused:
            usable_scale(books, "BENCH")
    assert str(refused.value) == (
        "Cannot weigh on scale 'BENCH': expected a scale that passed its check-weight test; this one failed on "
        "2026-03-02 09:00 UTC. Use another scale, or test it again."
    )
    with pytest.raises(WeighingRefused, match="weigh on scale 'BENCH'"):
        take_sample(shop, "SPRING", Sample(50, Decimal("45.00")), at=AT, person="ann", scale_code="BENCH")

    passed = record_scale_check(shop, "BENCH", [CheckReading(Decimal(100), Decimal("100.02"))], at=AT, person="ann")

    assert passed.was_stopped
    with shop.reading() as books:
        assert [scale.code for scale in usable_scales(books)] == ["BENCH", "FINE"]
        assert books.count(WeighingRecord, kind=WeighedKind.CHECK_WEIGHT) == 2
        assert books.need(ScaleStanding, "BENCH").worst_share == pytest.approx(0.2)


# Samples


def test_a_sample_of_a_group_and_singles_keeps_its_sources(shop: Shop):
    """Mean of the group, s.d. of the singles with nine degrees of freedom; eleven weighings, one unit weight."""
    singles = tuple(
        map(Decimal, ["0.912", "0.905", "0.894", "0.901", "0.908", "0.897", "0.903", "0.899", "0.906", "0.895"])
    )

    taken = take_sample(
        shop, "SPRING", Sample(50, Decimal("47.10"), Decimal("2.10"), singles), at=AT, person="ann", want=200
    )

    assert taken.after.mean_g == pytest.approx(0.9)
    assert taken.after.piece_sd_g == pytest.approx(0.00586894, rel=0.05)
    assert (taken.after.piece_sd_source, taken.after.piece_sd_freedom) == ("single pieces", 9)
    assert [reach.before for reach in taken.reaches] == [None, None]
    assert all(0 < reach.after < 200 for reach in taken.reaches)
    assert all(50 < reach.sample_pieces < 500 for reach in taken.reaches)
    with shop.reading() as books:
        assert books.get(UnitWeight, "SPRING", "") == taken.after
        kept = books.find(WeighingRecord, subject="SPRING", kind=WeighedKind.SAMPLE)
    assert [one.pieces for one in kept] == [50] + [1] * 10
    assert {one.scale_code for one in kept} == {"BENCH", "FINE"}


def test_a_group_alone_takes_its_s_d_from_the_family(shop: Shop):
    """Nuts have no sampled weight of their own: the screws' one percent, and a note that says so."""
    taken = take_sample(shop, "NUT", Sample(50, Decimal("60.00")), at=AT, person="ann")

    assert taken.after.piece_sd_g == pytest.approx(0.012)
    assert taken.after.piece_sd_source == "family prior"
    assert "weigh ten single pieces" in taken.notes[-1]


def test_a_second_sample_that_disagrees_changes_nothing(shop: Shop):
    """Two percent more in the same lot: a finding, and what the shop knew stays."""
    taken = take_sample(shop, "SCREW", Sample(50, Decimal("45.90")), at=AT, person="ann", lot="L1")

    assert "0.918 g by this sample, 0.9 g by the last sample of the lot" in taken.findings[0].says
    assert taken.before == SCREW
    with shop.reading() as books:
        assert books.get(UnitWeight, "SCREW", "L1") == SCREW
        assert books.count(WeighingRecord) == 0


def test_pouring_on_top_says_the_window_or_how_many_to_count_first(shop: Shop):
    """80 of 100 counted into the bag by hand: the window; 10 of 400: how many it would take."""
    most = take_sample(
        shop, "SCREW", Sample(80, Decimal("73.85"), Decimal("1.85")), at=AT, person="ann", lot="L1", want=100,
        is_poured=True,
    )  # fmt: skip
    few = take_sample(
        shop, "SCREW", Sample(10, Decimal("10.85"), Decimal("1.85")), at=AT, person="ann", lot="L1", want=400,
        is_poured=True,
    )  # fmt: skip

    assert most.poured.window.resolvable
    assert most.poured.window.lower_g < 91.85 < most.poured.window.upper_g
    assert not few.poured.window.resolvable
    assert 10 < few.poured.fewest_pieces < 400


@pytest.mark.parametrize(
    ("sample", "says"),
    [
        (Sample(0, Decimal("45.00")), "expected a sample of at least 2, better 50; count it out by hand."),
        (Sample(1, Decimal("45.00")), "expected a sample of at least 2, better 50; count it out by hand."),
        (Sample(4, Decimal("3.60")), "expected at least the minimum load of 5 g; use a finer scale or count by hand."),
        (
            Sample(50, Decimal("45.00"), Decimal("46.00")),
            "Cannot subtract tare '46.00 g': expected no more than the gross 45.00 g; weigh the empty bag again.",
        ),
        (
            Sample(2000, Decimal("10.00")),
            "Cannot take a unit weight of '0.005 g': expected at least the scale interval 0.01 g; "
            "use a finer scale, or count this part by hand.",
        ),
        (Sample(50, Decimal("4000.00")), "expected a reading that a scale in use can show; name it."),
        (Sample(50, Decimal("NaN")), "Cannot read gross 'NaN g': expected a number; wait for a steady reading."),
        (
            Sample(2, Decimal("2900.00")),
            "expected less than 76.3 g for a part of 14 mm; check the count, the tare and the unit.",
        ),
        (Sample(single_g=(Decimal("0.901"),)), "expected at least 5, better ten."),
        (Sample(), "expected a gross weight of some pieces, or single pieces."),
    ],
)
def test_bad_readings_are_told_what_to_do_at_the_bench(shop: Shop, sample: Sample, says: str):
    """Each refusal is one sentence with the remedy; nothing is written."""
    # A reading that no scale can show is refused before any scale is named.
    named = "" if sample.gross_g in (None, 4000) else "BENCH"

    with pytest.raises(Refusal) as refused:
        take_sample(shop, "SPRING", sample, at=AT, person="ann", scale_code=named)

    assert says in str(refused.value)
    with shop.reading() as books:
        assert books.count(WeighingRecord) == 0
        assert books.get(UnitWeight, "SPRING", "") is None


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("45 g", "expected grams as the scale shows them, digits only; set the scale to grams."),
        ("1.6 oz", "expected grams as the scale shows them, digits only; set the scale to grams."),
        ("-0.3", "expected grams as the scale shows them, digits only; set the scale to grams."),
        ("NaN", "expected a number; wait for a steady reading."),
    ],
)
def test_mixed_units_and_unsteady_readings_are_refused(typed: str, says: str):
    """A unit, a sign or no number: what to do with the scale."""
    with pytest.raises(WeighingRefused) as refused:
        read_grams(typed, "gross")

    assert str(refused.value) == f"Cannot read gross '{typed}': {says}"


# Learning and drift


def bags_of(
    shop: Shop, gross: list[str], *, part_number: str = "SCREW", lot: str = "L1", code: str = "W-1", after: int = 0
) -> None:
    """Bags of 40 on the coarse scale, checked with these readings, a minute apart."""
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
                pieces=40, bag_type="SMALL", walk_number=code, cart_position=1, stop_no=1, method=counted.method,
                scale_code=counted.scale_code, tare_g=SMALL.tare_g, target_g=counted.target_g,
                lower_g=counted.lower_g, upper_g=counted.upper_g, p_reject=counted.p_reject,
                p_pass_one_short=counted.p_pass_one_short, p_pass_one_over=counted.p_pass_one_over,
            )  # fmt: skip
            books.add([bag])
            place_bags(books, [bag], at=AT)
    for index, shown in enumerate(gross):
        seen = Seen(gross_g=Decimal(shown.rstrip("h")), counted=40 if shown.endswith("h") else None)
        check_bag(shop, f"BAG-{code}-{index}", seen, at=AT + timedelta(minutes=after + index), person="bo")


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


# Bulk


def test_goods_in_books_the_estimate_and_says_what_the_interval_costs(shop: Shop):
    """Two tubs of screws: pieces within the interval, its money, the sample that narrows it, the lot's note."""
    done = goods_in(
        shop, "SCREW", [Decimal("2010.00"), Decimal("1890.00")], [Decimal("210.00")], bin_code="B-2", at=AT,
        person="ann", lot="L2",
    )  # fmt: skip

    assert done.counted.pieces == round(3480 / 0.9)
    assert done.counted.lower < 3867 < done.counted.upper
    assert done.place.pieces == done.counted.pieces
    assert done.cost == Decimal("0.06") * (done.counted.upper - done.counted.lower)
    assert done.notes[0] == "lot L2 not sampled: counted by lot L1, spread of lots added"
    assert done.remedy.startswith("A sample of ")
    with shop.reading() as books:
        assert books.count(WeighingRecord, kind=WeighedKind.BULK, subject="B-2") == 2


def test_topping_a_bin_up_from_another_lot_makes_it_an_unsampled_lot(shop: Shop):
    """The bin takes the new lot's number, so its next bags are planned with the spread of lots."""
    done = goods_in(
        shop, "SCREW", [Decimal("1110.00")], [Decimal("210.00")], bin_code="B-1", at=AT, person="ann", lot="L9"
    )

    assert (done.place.lot, done.place.pieces) == ("L9", 6000)
    assert any("mixed with lot L9: sample it again" in note for note in done.notes)


@pytest.mark.parametrize(
    ("part_number", "bin_code", "gross", "tare", "says"),
    [
        ("SPRING", "B-4", "900.00", "0.00", "sample it first: count out 50 pieces, weigh them, fulfil parts sample."),
        ("SCREW", "B-3", "900.00", "0.00", "a bin that holds this part, got a bin of NUT."),
        ("SCREW", "B-1", "200.00", "210.00", "weigh the empty bag again."),
        ("SCREW", "B-1", "3.00", "0.00", "at least the minimum load of 5 g"),
        ("SCREW", "none", "900.00", "0.00", "one that the shop knows."),
    ],
)
def test_goods_that_can_t_be_counted_are_refused_and_not_booked(shop, part_number, bin_code, gross, tare, says):
    """Never sampled, wrong bin, tare over gross, too light, unknown bin: a sentence, and no entry."""
    with pytest.raises(Refusal) as refused:
        goods_in(shop, part_number, [Decimal(gross)], [Decimal(tare)], bin_code=bin_code, at=AT, person="ann",
                 scale_code="BENCH")  # fmt: skip

    assert says in str(refused.value)
    with shop.reading() as books:
        assert books.need(Bin, "B-1").pieces == 5000
        assert books.count(WeighingRecord) == 0


def test_a_bin_s_weight_changes_the_books_only_when_it_decides(shop: Shop):
    """4500 g net fit 5000: nothing; 4410 g are 100 fewer: booked when ±50 decides, by hand when ±1 was asked for."""
    fits = count_bin_by_weight(shop, "B-1", Decimal("2950.00"), Decimal("250.00"), at=AT, person="ann",
                               tolerance_pieces=50)  # fmt: skip
    assert fits.booked == -2000

    vague = count_bin_by_weight(shop, "B-1", Decimal("2860.00"), Decimal("250.00"), at=AT, person="ann",
                                tolerance_pieces=1)  # fmt: skip
    assert (vague.booked, vague.must_act) == (0, True)
    assert vague.sentence.startswith("100 fewer than the book's 3000 (2900 pieces, 95 % between ")
    assert vague.remedy

    counted = count_bin_by_hand(shop, "B-1", 2901, at=AT, person="ann", reason="fell behind the drawer")

    assert (counted.booked, counted.place.pieces) == (-99, 2901)
    assert counted.sentence == "99 fewer than the book's 3000: booked, 2901 now."
    with pytest.raises(QuantityRefused):
        count_bin_by_hand(shop, "B-1", -1, at=AT, person="ann")
    with pytest.raises(UnknownRefused):
        count_bin_by_weight(shop, "B-4", Decimal("50.00"), Decimal("10.00"), at=AT, person="ann")


# Sheets


def test_the_card_says_what_to_do_next(shop: Shop):
    """A lot in a bin that nobody weighed is named; a part without a sample says sample first and has no picture."""
    with shop.reading() as books:
        screw = unit_weight_card_sheet(books, "SCREW", day=DAY)
        spring = unit_weight_card_sheet(books, "SPRING", day=DAY)
        nut = unit_weight_card_sheet(books, "NUT", day=DAY)

    assert screw.advice == ("Sample lot L2: it is in a bin, and nobody has weighed it.",)
    assert screw.lots[0].unit_weight == "0.9000 g"
    assert {line.label.split(",")[0] for line in screw.chart.lines} == {"FINE", "BENCH"}
    assert spring.chart is None
    assert nut.chart is None
    assert nut.lots[0].how == "handbook: for planning only, never to pass a bag"
    assert spring.advice[0].startswith("Sample first: count 50 pieces out by hand")


def test_the_counting_table_agrees_with_the_published_row(shop: Shop):
    """N_max = ⌊(√(c⁴ + 4qR) − c²)/(2q)⌋ at c = 1 %, q = c²/50 + u_ref²/50², R = 1/Z² − A: 97 on a perfect scale.

    For 1 g on this scale, whose windows allow for half the error permitted in service, one less; for 0.1 g far fewer.
    """
    with shop.reading() as books:
        fine = counting_table_sheets(books, day=DAY)[0]

    rows = dict(fine.tables[0].rows)
    column = fine.tables[0].scatters.index("1.0 %")
    assert fine.scale == "FINE"
    fixed = 0.0015**2 + 0.001**2 / 12 + 0.005**2
    q, r = 1e-4 / 50 + (2 * 0.0015**2 + 0.001**2 / 6 + 0.005**2) / 50**2, 1 / 5.897266**2 - fixed - 2 * 0.008**2
    assert int(rows["1 g"][column]) == int(((1e-8 + 4 * q * r) ** 0.5 - 1e-4) / (2 * q)) == 96
    assert int(rows["0.1 g"][column]) < 97
    assert "legal for trade" in fine.cautions[0]


# What windows allow for, and the morning's check


def test_a_check_within_what_windows_allow_for_says_how_much_room_is_left(shop: Shop):
    """0.02 g of the permitted 0.1 g: windows made today allow for a quarter; nobody counts by hand."""
    done = record_scale_check(shop, "BENCH", [CheckReading(Decimal(50), Decimal("50.02"))], at=AT, person="ann")

    assert (done.allowed_share, done.by_hand) == (0.25, ())
    with shop.reading() as books:
        assert bias_shares(books, DAY) == {"BENCH": 0.25}
        assert bias_shares(books, DAY + timedelta(days=9)) == {"BENCH": 0.5}


def test_a_scale_that_passes_by_law_may_be_too_far_off_for_windows(shop: Shop):
    """50.10 g for 50 g passes (the permitted error, OIML R 76-1 3.5.2); the bags whose windows don't hold are named."""
    pin = UnitWeight(**SCREW.model_dump() | {"part_number": "PIN", "mean_g": 0.4, "u_g": 0.0003, "piece_sd_g": 0.002})
    with shop.writing() as books:
        books.add([part("PIN"), pin])
        books.replace([place("B-1", "PIN", books.need(Bin, "B-1").pieces, "L1")])
    bags_of(shop, ["16.62"], part_number="PIN", code="P")
    with shop.writing() as books:
        (bag,) = books.find(Bag, part_number="PIN")
        assert bag.scale_code == "BENCH"
        books.replace([revised(bag, {"state": BagState.PLANNED})])

    done = record_scale_check(shop, "BENCH", [CheckReading(Decimal(50), Decimal("50.10"))], at=AT, person="ann")
    stopped = record_scale_check(shop, "BENCH", [CheckReading(Decimal(50), Decimal("50.30"))], at=AT, person="ann")

    assert done.standing.has_passed
    assert done.allowed_share == 1.0
    assert done.by_hand == ("PIN",)
    assert stopped.by_hand == ("PIN",)


def test_a_scale_off_by_all_of_the_permitted_error_plans_for_it(shop: Shop):
    """40 light pins: weighed where windows allow for half of it, by hand or on another scale where for all."""
    pin = UnitWeight(**SCREW.model_dump() | {"part_number": "PIN", "mean_g": 0.4, "u_g": 0.0003, "piece_sd_g": 0.002})
    weight = weight_for_lot([pin], "L1")

    half = count_line(part("PIN"), weight, 40, bench_of([BENCH], [SMALL], Settings()))
    whole = count_line(part("PIN"), weight, 40, bench_of([BENCH], [SMALL], Settings(), bias_shares={"BENCH": 1.0}))

    assert half[0].method is CountMethod.WEIGH
    assert whole[0].method is CountMethod.HAND


def test_the_card_shows_the_budget_of_the_largest_bag(shop: Shop):
    """Terms by size with what would shrink them; together the uncertainty that the window was made from."""
    with shop.reading() as books:
        card = unit_weight_card_sheet(books, "SCREW", day=DAY)

    bench_budget = next(one for one in card.budgets if one.scale == "BENCH")
    assert bench_budget.pieces == next(one.most for one in card.reaches if one.scale == "BENCH")
    assert {"unit weight", "pieces", "scale, bias"} <= {term.term for term in bench_budget.terms}
    assert bench_budget.terms[0].shrink
    shares = [int(term.share.split()[0]) for term in bench_budget.terms]
    assert shares == sorted(shares, reverse=True)
    assert 95 <= sum(shares) <= 102
