"""Goods that come and bins that are counted, by weight."""

from decimal import Decimal

import pytest

from fulfil.errors import QuantityRefused, Refusal, UnknownRefused
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin
from fulfil.records.weighing import WeighedKind, WeighingRecord
from fulfil.stock.bulk_counts import count_bin_by_hand, count_bin_by_weight, goods_in
from fulfil.store.shop import Shop
from tests.counting.weighing.steps import AT

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


def test_nineteen_point_four_pieces_are_no_pieces(shop: Shop):
    """19.4 pieces, known to 0.02 of one: no whole number fits, nothing is booked, and what to look for is said."""
    with shop.writing() as books:
        books.add([UnitWeight(part_number="SPRING", mean_g=0.9, u_g=0.0002, piece_sd_g=0.002, sample_pieces=200,
                              source=WeightSource.SAMPLED)])  # fmt: skip
        move = bin_move(part_number="SPRING", bin_code="B-4", pieces=19, reason="counted", source="test")
        books.move(stock=[move], at=AT, person="ann")
    counted = count_bin_by_weight(shop, "B-4", Decimal("27.460"), Decimal("10.000"), at=AT, person="ann")

    assert (counted.booked, counted.must_act, counted.place.pieces) == (0, True, 19)
    (finding,) = [one for one in counted.findings if one.field == "pieces by weight"]
    assert finding.value == "19.40"
    assert finding.says.startswith("no whole number of pieces fits (s.d. 0.0")
    assert finding.do.startswith("weigh the empty tub again, look for foreign matter and for another part")
