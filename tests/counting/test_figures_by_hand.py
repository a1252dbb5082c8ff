"""Figures of the counting room worked out by hand, from weighings and records that are written down here."""

from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from math import sqrt
from pathlib import Path

import pytest

from fulfil.counting.count_lines import scale_of
from fulfil.counting.drift import drift_of
from fulfil.counting.papers import drift_chart_sheets
from fulfil.counting.passed_bags import KnownCount, KnownCounts
from fulfil.counting.pictures import draw_drift
from fulfil.counting.reach import MOST_UNPROVEN_SAMPLES, most_countable
from fulfil.counting.scale_checks import record_scale_check, usable_scales
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading
from tests.harbour_shop import NOW, WHO, open_harbour

GRAM = UnitWeight(
    part_number="PEG", mean_g=1.0, u_g=0.001, piece_sd_g=0.01, sample_pieces=100, source=WeightSource.SAMPLED
)  # fmt: skip
DAY = date(2026, 7, 14)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop."""
    with open_harbour(tmp_path) as opened:
        yield opened


def weighed(*nets_g: float) -> KnownCounts:
    """Bags of ten pegs, one after the other, on one scale; every reading is known to 0.03 g."""
    counts = [
        KnownCount(
            at=NOW, bag_code=f"B{number}", part_number="PEG", lot="", scale_code="KOTARE", bag_type="BAG", pieces=10,
            net_g=net_g, noise_u_g=0.03, centre_g=10.0, half_width_g=0.5, is_of_day=True,
        )
        for number, net_g in enumerate(nets_g)
    ]  # fmt: skip
    return KnownCounts(tuple(counts), {"PEG": (GRAM,)})


def test_a_chart_shows_how_many_standard_deviations_a_bag_is_off() -> None:
    """0.10 g over; variance 10 · 0.01² of pieces, (10 · 0.001)² of the unit weight, 0.03² of the reading: √5 s.d."""
    (chart,) = drift_of(weighed(10.10)).charts
    assert chart.residuals == pytest.approx([0.10 / sqrt(10 * 0.01**2 + (10 * 0.001) ** 2 + 0.03**2)])
    assert chart.residuals == pytest.approx([sqrt(5)])


@pytest.mark.parametrize(("bags", "step"), [(3, 1), (8, 1), (9, 2), (16, 2), (17, 5), (40, 5), (41, 10)])
def test_the_ticks_below_a_chart_are_few_and_whole(bags: int, step: int) -> None:
    """At most nine of them, from 0 to the last bag or just beyond."""
    (sheet,) = drift_chart_sheets(drift_of(weighed(*[10.0] * bags)))
    ticks = sheet.average.x_ticks
    assert ticks == tuple(float(tick) for tick in range(0, bags + step, step))
    assert len(ticks) <= 10


def test_drawn_charts_lie_in_the_folder(tmp_path: Path) -> None:
    """One for the scale, named by day and subject."""
    written = draw_drift(drift_of(weighed(10.1, 9.9, 10.0)), tmp_path, day=DAY)
    assert [path.name for path in written] == ["2026-07-14-drift-Scale-KOTARE.png"]
    assert [path.read_bytes()[:8] for path in written] == [b"\x89PNG\r\n\x1a\n"]


def test_a_sample_whose_count_is_hardly_in_doubt_reaches_twenty_times_its_number() -> None:
    """Ten pieces, known to a ten-thousandth: the scale could prove more, an unproven count reaches 200 and no more."""
    record = ScaleRecord(
        code="S", accuracy_class="I", e_g=Decimal("0.001"), d_g=Decimal("0.001"), max_g=Decimal(600),
        min_g=Decimal("0.1"), repeatability_g=0.001,
    )  # fmt: skip
    sure = UnitWeight(
        part_number="PEG", mean_g=1.0, u_g=0.00001, piece_sd_g=0.0001, sample_pieces=10, source=WeightSource.SAMPLED
    )  # fmt: skip
    proven = most_countable(sure, scale_of(record), Settings())
    assert proven > MOST_UNPROVEN_SAMPLES * 10
    doubted = sure.model_copy(update={"count_doubt": 1e-9})
    assert most_countable(doubted, scale_of(record), Settings()) == MOST_UNPROVEN_SAMPLES * 10


def test_a_scale_that_failed_its_test_is_not_offered(shop: Shop) -> None:
    """50 g shown as 51: no part is counted on it until it passes again."""
    with shop.reading() as books:
        before = [scale.code for scale in usable_scales(books)]
    record_scale_check(shop, "KOTARE", [CheckReading(Decimal(50), Decimal(51))], **WHO)
    with shop.reading() as books:
        assert [scale.code for scale in usable_scales(books)] == [code for code in before if code != "KOTARE"]
    assert "KOTARE" in before
