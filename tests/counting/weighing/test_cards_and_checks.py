"""What cards and tables say, and what a scale check leaves room for."""

from datetime import timedelta
from decimal import Decimal

from fulfil.counting.count_lines import bench_of, count_line
from fulfil.counting.lot_weights import weight_for_lot
from fulfil.counting.papers import counting_table_sheets, unit_weight_card_sheet
from fulfil.counting.scale_checks import record_scale_check
from fulfil.counting.scale_room import bias_shares
from fulfil.records.part import UnitWeight
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, CountMethod
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.counting.weighing.steps import AT, BENCH, DAY, SCREW, SMALL, bags_of, part, place

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
