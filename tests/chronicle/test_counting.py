"""The counting room of the harbour shop: samples, check weights, windows, learning, charts, cards, word for word."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.counting.budgets import bag_budget, budget_lines, largest_budgets
from fulfil.counting.count_lines import bench_of, count_line
from fulfil.counting.drift import drift_of_day
from fulfil.counting.learning import learn_day
from fulfil.counting.lot_weights import lot_weight
from fulfil.counting.passed_bags import known_counts
from fulfil.counting.pictures import draw_drift, draw_largest_count
from fulfil.counting.reach import reaches_of
from fulfil.counting.readings import must_be_shown, read_grams, read_singles, scale_for
from fulfil.counting.sample_estimate import Sample, estimate
from fulfil.counting.sample_witnesses import Right
from fulfil.counting.samples import take_sample
from fulfil.counting.scale_checks import record_scale_check, usable_scales
from fulfil.counting.scale_room import bias_shares, parts_by_hand, waiting_parts
from fulfil.documents import sheets_of
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.stock.equipment_changes import retire_scale
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import DAY, NOW, WHO, bags, key, plan, release
from tests.who import Who

SINGLES = tuple(map(Decimal, ("1.16", "1.14", "1.15", "1.15", "1.16", "1.14", "1.15")))

SPRINGS = ("0.31", "0.30", "0.31", "0.32", "0.31", "0.31", "0.30", "0.32")


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def test_samples_and_their_witnesses(shop: Shop) -> None:
    """A group, single pieces, both; of a new lot; poured; what contradicts is set aside until somebody decides."""
    told = Chronicle(shop, "counting/samples")
    told.tell("a group", take_sample(shop, "BELL-3", Sample(20, Decimal("285.10"), Decimal("0.10")), **WHO, want=30))
    told.tell(
        "with singles",
        take_sample(shop, "REED-A", Sample(50, Decimal("57.55"), Decimal(0), SINGLES), **later(1), want=300),
    )
    told.tell("singles alone, of a lot", take_sample(shop, "REED-A", Sample(single_g=SINGLES), **later(2), lot="L2"))
    told.tell(
        "poured",
        take_sample(
            shop, "SCREW-3", Sample(40, Decimal("33.02"), Decimal("0.62")), **later(3), want=90, is_poured=True
        ),
    )
    told.tell("of a family", take_sample(shop, "FELT-9", Sample(100, Decimal("14.10")), **later(4)))
    short = Sample(50, Decimal("56.40"), Decimal(0), SINGLES)
    told.tell("one piece short", take_sample(shop, "REED-A", short, **later(5)))
    for right in Right:
        told.tell(
            f"{right} is right", take_sample(shop, "REED-A", short, **later(6), right=right, reason="counted again")
        )
    told.tell("another mass by far", take_sample(shop, "SPRING-2", Sample(50, Decimal("20.00")), **later(7)))
    told.tell(
        "which is known",
        take_sample(shop, "SPRING-2", Sample(50, Decimal("20.00")), **later(8), right=Right.KNOWN, reason="wrong tray"),
    )
    told.refused(
        "what is no sample",
        lambda: take_sample(shop, "REED-A", Sample(50), **WHO),
        lambda: take_sample(shop, "REED-A", Sample(1, Decimal("1.15")), **WHO),
        lambda: take_sample(shop, "REED-A", Sample(single_g=SINGLES[:4]), **WHO),
        lambda: take_sample(shop, "PIN-08", Sample(9, Decimal("0.30"), Decimal("0.25")), **WHO, scale_code="TOROA"),
        lambda: take_sample(shop, "PIN-08", Sample(50, Decimal("0.45")), **WHO),
        lambda: take_sample(shop, "PIN-08", Sample(5, Decimal("500.00")), **WHO),
        lambda: take_sample(shop, "REED-A", short, **WHO, right=Right.GROUP, reason=" "),
        lambda: take_sample(shop, "SPRING-2", Sample(50, Decimal("20.00")), **WHO, right=Right.SINGLES, reason="x"),
        lambda: take_sample(shop, "SCREW-3", Sample(40, Decimal("32.42")), **WHO, want=40, is_poured=True),
        lambda: take_sample(shop, "NO", Sample(40, Decimal("32.42")), **WHO),
    )
    told.is_as_recorded()


def test_check_weights_and_what_windows_allow(shop: Shop, tmp_path: Path) -> None:
    """Passed, passed but far off, failed; a day later; parts that are counted by hand then."""
    told = Chronicle(shop, "counting/scale-checks")
    for place, part in enumerate(("REED-A", "SPRING-2", "SCREW-3", "PIN-08")):
        key(shop, f"W-{place}", (part, 30))
    plan(shop)
    release(shop, tmp_path)
    for name, shown in (
        ("right", "200.00"),
        ("off", "200.02"),
        ("worse", "200.05"),
        ("failed", "200.20"),
        ("again", "200.00"),
    ):
        told.tell(
            name,
            record_scale_check(
                shop,
                "KOTARE",
                [CheckReading(Decimal(200), Decimal(shown)), CheckReading(Decimal(0), Decimal("0.00"))],
                **later(1),
            ),
        )
        with shop.reading() as books:
            record = books.need(ScaleRecord, "KOTARE")
            for days in (0, 1, 2):
                told.tell(f"allowed after {days} days", bias_shares(books, DAY + timedelta(days=days)))
            told.tell("usable", [one.code for one in usable_scales(books)])
            told.tell("by hand", [parts_by_hand(books, record, share) for share in (0.0, 0.25, 0.5, 1.0)])
            told.tell("waiting", waiting_parts(books, "KOTARE"))
    told.refused(
        "no check",
        lambda: record_scale_check(shop, "KOTARE", [], **WHO),
        lambda: record_scale_check(shop, "NO", [], **WHO),
    )
    told.is_as_recorded()


def test_readings(shop: Shop) -> None:
    """What can have been typed at a bench, and which scale shows it."""
    told = Chronicle(shop, "counting/readings")
    told.tell(
        "singles", [read_singles(said) for said in ("0,912; 0,905", "1.2 1.3,", "0.912,0.905", "12, 13", "0,9", "7")]
    )
    told.refused(
        "no reading",
        *(lambda said=said: read_grams(said, "gross") for said in ("1.6 oz", "---", "", "ERR", "1.2.3", "-1")),
        lambda: read_singles("12,13"),
        lambda: read_singles("0,9,1"),
    )
    with shop.reading() as books:
        for shown in (["1.15"], ["85.5"], ["100.0", "0.5"], ["1000.0"], ["620.00"], ["85"]):
            told.tell(f"{shown}", scale_for(books, "", [Decimal(one) for one in shown]).code)
        told.tell("named", scale_for(books, "TOROA", [Decimal("1.15")]).code)
        told.refused("none", lambda: scale_for(books, "", [Decimal("1.155")]), lambda: scale_for(books, "NO", []))
        scale = books.need(ScaleRecord, "KOTARE")
        for mass in ("0.20", "0.19", "0.00", "-0.01", "620.00", "620.01", "1.155"):
            told.refused(
                mass,
                lambda m=mass: must_be_shown(scale, Decimal(m), may_be_too_light=False),
                lambda m=mass: must_be_shown(scale, Decimal(m), may_be_too_light=True),
            )
    told.is_as_recorded()


def test_how_lines_are_counted(shop: Shop) -> None:
    """Every part of the shop, few and many; by which lot, by which scale, in how many bags, or by hand and why."""
    told = Chronicle(shop, "counting/lines")
    take_sample(shop, "SCREW-3", Sample(30, Decimal("24.30")), **WHO, lot="L1")
    take_sample(shop, "SCREW-3", Sample(30, Decimal("24.36")), **later(1), lot="L2")
    with shop.writing() as books:
        books.remove(UnitWeight, part_number="SCREW-3", lot="")
        scales = books.find(ScaleRecord)
        scales.append(
            revised(
                scales[0],
                {
                    "code": "RURU",
                    "d_g": Decimal("0.1"),
                    "e_g": Decimal("0.1"),
                    "max_g": Decimal(3000),
                    "repeatability_g": 0.03,
                },
            )
        )
        bag_types, settings = books.find(BagType), books.settings()
        parts = {part.number: part for part in books.find(Part)}
        for shares in ({}, {"KOTARE": 0.25, "RURU": 1.0}):
            bench = bench_of(scales, bag_types, settings, bias_shares=shares)
            for number, pieces in (
                ("PIN-08", 30),
                ("PIN-08", 2500),
                ("REED-A", 3),
                ("REED-A", 400),
                ("CAM-7", 50),
                ("BELL-3", 4),
                ("SPRING-2", 700),
                ("DISC-21", 6),
                ("DISC-21", 40),
                ("KIT-D", 2),
                ("SCREW-3", 20),
                ("SCREW-3", 900),
            ):
                for lot in ("", "L1", "L9") if number == "SCREW-3" else ("",):
                    told.each(
                        f"{pieces} of {number} {lot} {shares or ''}",
                        count_line(parts[number], lot_weight(books, number, lot), pieces, bench),
                    )
        told.each(
            "no scale",
            count_line(parts["PIN-08"], lot_weight(books, "PIN-08", ""), 5, bench_of([], bag_types, settings)),
        )
        for number in ("PIN-08", "SCREW-3", "BELL-3"):
            for weight in books.find(UnitWeight, part_number=number):
                told.each(
                    f"reach of {number} {weight.lot}",
                    reaches_of(scales, weight, weight, settings, tare_sd_g=0.004, want=150),
                )
                told.each(
                    "budgets",
                    [
                        (one.scale_code, budget_lines(one.budget))
                        for one in largest_budgets(
                            books, weight, reaches_of(books.find(ScaleRecord), weight, None, settings)
                        )
                    ],
                )
    told.is_as_recorded()


@pytest.mark.parametrize("name", ["steady", "drifting"])
def test_bags_teach_and_charts_tell(shop: Shop, tmp_path: Path, name: str) -> None:
    """Twelve bags of springs and pins; passed, counted by hand, undone; learned from once; drawn."""
    told = Chronicle(shop, f"counting/learning-{name}")
    with shop.writing() as books:
        books.replace([revised(books.need(Bin, code), {"lot": "L3"}) for code in ("MOANA-1", "MOANA-4")])
    take_sample(
        shop,
        "SPRING-2",
        Sample(60, Decimal("18.60"), Decimal(0), tuple(map(Decimal, SPRINGS))),
        at=NOW - timedelta(days=1),
        person="ngaio",
        lot="L3",
    )
    for place in range(12):
        key(shop, f"Q-{place:02d}", ("SPRING-2", 4), ("SCREW-3", 6))
    plan(shop)
    release(shop, tmp_path)
    for place, bag in enumerate(sorted(bags(shop), key=lambda one: (one.part_number, one.order_number))):
        assert bag.target_g is not None
        off = Decimal("0.01") * (place % 3 - 1)
        if name == "drifting" and bag.part_number == "SPRING-2" and place % 12 > 4:
            off = bag.upper_g - bag.target_g if bag.upper_g else off
        counted = bag.pieces if place % 5 == 0 else None
        check_bag(
            shop,
            bag.code,
            Seen(gross_g=bag.target_g + off, counted=counted),
            at=NOW + timedelta(minutes=place),
            person="piripi",
        )
    with shop.reading() as books:
        told.tell("known counts", known_counts(books, DAY))
        drift = drift_of_day(books, DAY)
        told.tell("drift", drift)
        told.each("findings", drift.findings)
        told.each(
            "budgets of bags",
            [budget_lines(found) if (found := bag_budget(books, bag)) else None for bag in books.find(Bag)[:3]],
        )
    told.tell("learned", learn_day(shop, day=DAY, **later(60)))
    told.tell("again", learn_day(shop, day=DAY, **later(61)))
    told.each("drawn", draw_drift(drift, tmp_path, day=DAY))
    told.each(
        "card drawn",
        [
            *draw_largest_count(shop, "SPRING-2", tmp_path, day=DAY),
            *draw_largest_count(shop, "KIT-D", tmp_path, day=DAY),
        ],
    )
    for part in ("SPRING-2", "BELL-3", "KIT-D"):
        told.each(f"card of {part}", sheets_of(shop, part, at=NOW))
    told.each("day report", sheets_of(shop, "day-report", at=NOW))
    told.is_as_recorded()


def test_what_a_card_advises(shop: Shop) -> None:
    """Lots that nobody sampled, lots that differ, no scale that resolves it; and a sample without its weight."""
    told = Chronicle(shop, "counting/advice")
    with shop.writing() as books:
        pin = books.need(UnitWeight, "PIN-08", "")
        books.remove(UnitWeight, part_number="PIN-08", lot="")
        books.add(
            [
                revised(pin, {"lot": "L1", "lot_sd_g": 0.0002}),
                revised(pin, {"lot": "L2", "lot_sd_g": 0.001, "learned_n": 1}),
            ]
        )
        books.replace(
            [revised(books.need(Bin, "TAI-1"), {"lot": "L3"}), revised(books.need(Bin, "MOANA-3"), {"lot": "L1"})]
        )
        told.refused(
            "no gross weight",
            lambda: estimate(books, books.need(Part, "PIN-08"), [], Sample(5), books.find(ScaleRecord)[0], None, ""),
        )
        books.replace([revised(books.need(UnitWeight, "CAM-7", ""), {"u_g": 0.0, "piece_sd_g": 0.0})])
        books.replace([revised(books.need(UnitWeight, "SCREW-3", ""), {"u_g": 0.06, "piece_sd_g": 0.06})])
    for part in ("PIN-08", "SCREW-3", "CAM-7"):
        told.each(f"card of {part}", sheets_of(shop, part, at=NOW))
    retire_scale(shop, "KOTARE", **WHO)
    told.each("without a scale", sheets_of(shop, "PIN-08", at=NOW))
    told.is_as_recorded()


def test_counting_tables(shop: Shop) -> None:
    """What a scale can count of pieces that nobody has weighed; none without a scale."""
    told = Chronicle(shop, "counting/tables")
    told.each("tables", sheets_of(shop, "counting-table", at=NOW))
    told.each("of one scale", sheets_of(shop, "SCALE-KOTARE", at=NOW))
    with shop.writing() as books:
        books.replace([revised(books.need(ScaleRecord, "KOTARE"), {"use": "packages"})])
    told.refused("none", lambda: sheets_of(shop, "counting-table", at=NOW))
    told.is_as_recorded()
