"""The mistake report counts bags once, names parts, bins, pairs and scales, and no person."""

from datetime import UTC, date, datetime
from decimal import Decimal
from functools import partial

import pytest
from scipy.stats import beta

from fulfil.bench.check import Seen, check_bag, undo_check
from fulfil.bench.mistakes import mistakes
from fulfil.bench.recount_slips import recount_sheet, recount_sheets
from fulfil.counting.papers import unit_weight_card_sheet
from fulfil.despatch.claims import add_claim
from fulfil.errors import StateRefused
from fulfil.records.bench import Recount
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.shop.printing import print_papers
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop


@pytest.fixture
def shop(tmp_path):
    """Three orders of four bags."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path)
    with open_shop(path) as opened:
        yield opened


def check(shop, code, shift="0"):
    """One check of a bag, off by so many grams."""
    with shop.reading() as books:
        bag = books.need(Bag, code)
    gross_g = bag.target_g + Decimal(shift)
    return check_bag(shop, code, Seen(gross_g=gross_g), at=AT, person="anna")


def test_a_bag_counts_once_however_often_it_came_back(shop):
    """Two slips of one bag are one mistake; one of three bags is sent back, with its wide interval."""
    check(shop, "B2603020001", "-5.00")
    check(shop, "B2603020001", "-5.00")
    check(shop, "B2603020002")
    check(shop, "B2603020003")

    report = mistakes(shop)

    assert (report.bags_checked, report.bags_sent_back) == (3, 1)
    (row,) = report.frames["scales"].to_dict(orient="records")
    assert (row["scale"], row["bags_checked"], row["bags_sent_back"]) == ("FINE", 3, 1)
    assert row["share_low"] == pytest.approx(beta.ppf(0.025, 1.5, 2.5))
    assert row["share_high"] == pytest.approx(beta.ppf(0.975, 1.5, 2.5))


def test_what_was_undone_is_no_mistake(shop):
    """The slip stays, the figure doesn't."""
    check(shop, "B2603020001", "-5.00")
    with shop.writing() as books:
        undo_check(books, "B2603020001", at=AT, person="anna")
    check(shop, "B2603020001")

    assert (mistakes(shop).bags_checked, mistakes(shop).bags_sent_back) == (1, 0)


def test_pairs_name_what_was_taken_for_what(shop):
    """From the slips whose likely cause is another part."""
    check(shop, "B2603020001", "-5.00")
    with shop.writing() as books:
        (slip,) = books.find(Recount)
        books.replace([slip.model_copy(update={"likely_cause": "look-alike part", "other_part": "SCR-0048"})])

    pairs = mistakes(shop).frames["pairs"].to_dict(orient="records")

    assert pairs == [{"part": slip.part_number, "other_part": "SCR-0048", "bags_sent_back": 1}]


def test_claims_stand_beside_what_the_checks_found(shop):
    """What a customer says of a bag that passed is in the report by part and cause, from its own day on."""
    with shop.reading() as books:
        bag = books.need(Bag, "B2603020002")
    add_claim(shop, bag.order_number, bag.line_no, ClaimCause.SHORT, at=AT, person="clara", pieces=2)

    rows = mistakes(shop).frames["claims"].to_dict(orient="records")

    assert rows == [{"part": bag.part_number, "cause": "short", "claims": 1, "pieces": 2}]
    assert mistakes(shop, since=AT.date()).frames["claims"].to_dict(orient="records") == rows
    assert mistakes(shop, since=date(2026, 3, 3)).frames["claims"].empty


def test_nobody_is_named(shop):
    """No column and no cell of any frame holds a person."""
    check(shop, "B2603020001", "-5.00")

    for frame in mistakes(shop).frames.values():
        assert "person" not in frame.columns
        assert not frame.isin(["anna"]).any().any()


def test_an_empty_shop_has_an_empty_report(shop):
    """No bag was checked; nor since tomorrow."""
    assert (mistakes(shop).bags_checked, mistakes(shop).bags_sent_back) == (0, 0)
    check(shop, "B2603020001", "-5.00")
    assert mistakes(shop, since=date(2026, 3, 3)).bags_checked == 0


def test_slips_are_printed_for_bags_on_their_way(shop, tmp_path):
    """One file for all open ones; the same again, byte for byte; none where no bag is on its way."""
    with pytest.raises(StateRefused, match="a bag that was sent back"):
        print_papers(shop, tmp_path, partial(recount_sheets, numbers=[]))
    check(shop, "B2603020001", "-5.00")
    check(shop, "B2603020003", "-5.00")

    (path,) = print_papers(shop, tmp_path, partial(recount_sheets, numbers=[]))
    first = path.read_bytes()
    print_papers(shop, tmp_path, partial(recount_sheets, numbers=[]))

    assert path.name == "R2603020001-R2603020002-recount-slips.pdf"
    assert path.read_bytes() == first
    assert len(print_papers(shop, tmp_path, partial(recount_sheets, numbers=["R2603020001"]), on_sheets=True)) == 1


def test_a_slip_and_a_card_say_the_shops_own_day(shop):
    """Half past eleven at night in Greenwich is the next day in Luxembourg."""
    late = datetime(2026, 3, 2, 23, 30, tzinfo=UTC)
    check(shop, "B2603020001", "-5.00")
    with shop.writing() as books:
        books.replace([Settings(**books.settings().model_dump() | {"time_zone": "Europe/Luxembourg"})])
        part_number = books.find(Part)[0].number
        sample = WeighingRecord(at=late, person="anna", scale_code=books.find(ScaleRecord)[0].code,
                                kind=WeighedKind.SAMPLE, subject=part_number, pieces=50, indication_g=Decimal("46.56"),
                                verdict=Verdict.PASSED)  # fmt: skip
        books.add([sample])
    with shop.reading() as books:
        (slip,) = books.find(Recount)
        changed = Recount(**slip.model_dump() | {"at": late})

        assert recount_sheet(books, changed).day == date(2026, 3, 3)
        assert unit_weight_card_sheet(books, part_number, day=date(2026, 3, 3)).samples[0].day == date(2026, 3, 3)
