"""Scales that fail, samples that count, readings that are refused."""

from decimal import Decimal

import pytest

from fulfil.counting.readings import read_grams
from fulfil.counting.sample_estimate import Sample
from fulfil.counting.samples import take_sample
from fulfil.counting.scale_checks import record_scale_check, usable_scale, usable_scales
from fulfil.errors import Refusal, WeighingRefused
from fulfil.records.part import UnitWeight
from fulfil.records.weighing import ScaleStanding, WeighedKind, WeighingRecord
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.counting.weighing.steps import AT, SCREW

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
