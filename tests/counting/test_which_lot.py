"""Which lot's weight stands for one that nobody sampled, and how large a sample is asked for: worked out here."""

from datetime import UTC, datetime
from decimal import Decimal
from itertools import permutations
from math import sqrt

import pytest
from scipy.stats import norm, t

from fulfil.counting.lot_weights import weight_for_lot
from fulfil.counting.reach import reaches_of
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.settings import Settings


def lot(name: str, day: int, mean_g: float, **more: object) -> UnitWeight:
    """A lot of an invented bellows rivet, sampled on a day of May."""
    given = {"part_number": "RIVET", "lot": name, "mean_g": mean_g, "u_g": mean_g / 3000, "piece_sd_g": mean_g / 200,
             "sample_pieces": 40, "source": WeightSource.SAMPLED,
             "sampled_at": datetime(2026, 5, day, tzinfo=UTC)}  # fmt: skip
    return UnitWeight.model_validate(given | more)


LOTS = (lot("R-30", 4, 0.700), lot("R-10", 21, 0.712), lot("R-20", 12, 0.690))


@pytest.mark.parametrize("order", list(permutations(LOTS)))
def test_a_new_lot_is_counted_by_the_lot_sampled_last(order: tuple[UnitWeight, ...]) -> None:
    """R-10 of 21 May, though its name is the first and whatever order the books give; half a percent is added.

    u² = (0.712/3000)² + 2 (0.005 · 0.712)²: the sampled lot lies off the part's mean, and the new one too, each by
    its own draw (law of propagation, JCGM 100:2008, 5.1.2).
    """
    found = weight_for_lot(order, "R-99")

    assert found is not None
    assert found.record.mean_g == 0.712
    assert "counted by lot R-10" in found.note
    assert found.record.u_g == pytest.approx(sqrt((0.712 / 3000) ** 2 + 2 * (0.005 * 0.712) ** 2), rel=1e-6)


def test_a_lot_that_may_not_accept_never_stands_for_another() -> None:
    """A later weight from a table gives way to an earlier one that was weighed."""
    table = lot("R-40", 25, 0.750, source=WeightSource.HANDBOOK, sample_pieces=0)

    found = weight_for_lot([*LOTS, table], "R-99")

    assert found is not None
    assert found.record.mean_g == 0.712


def test_equal_times_go_by_the_later_lot_number() -> None:
    """The written rule for ties."""
    found = weight_for_lot([lot("B", 9, 1.0), lot("C", 9, 1.1), lot("A", 9, 1.2)], "Z")

    assert found is not None
    assert found.record.mean_g == 1.1


def test_the_lot_s_own_weight_comes_first_and_one_without_a_lot_second() -> None:
    """Neither is noted, neither grows."""
    own, general = weight_for_lot(LOTS, "R-20"), weight_for_lot([*LOTS, lot("", 1, 0.701)], "R-99")

    assert own is not None
    assert general is not None
    assert (own.record, own.note) == (LOTS[2], "")
    assert (general.record.mean_g, general.note) == (0.701, "")


SCALE = ScaleRecord(code="CENTI", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.01"), max_g=Decimal(600),
                    min_g=Decimal("0.5"), repeatability_g=0.005)  # fmt: skip


def _needed(want: int, sd_g: float, settings: Settings) -> int:
    """The smallest sample by trying: one piece more must lie beyond the limit by the pass risk's quantile.

    Limit at z(1 - r/2) spreads of a right bag, spread² = N² (sd²/n + (u_r/n)²) + N sd² + u_s², one piece more likewise;
    u_s is one reading (0.005² + 0.01²/12), the sample's net two.
    """
    # Half the error permitted in service up to 5000 e: 2 × 0.5 e (OIML R 76-1:2006, 3.5.1, 3.5.2); a net has it once.
    bias_g = 0.05
    noise = 0.005**2 + 0.01**2 / 12
    one = noise + bias_g**2
    for n in range(1, 20_000):
        unit_u2 = sd_g**2 / n + (2 * noise + bias_g**2) / n**2
        right = sqrt(want**2 * unit_u2 + want * sd_g**2 + one)
        over = sqrt((want + 1) ** 2 * unit_u2 + (want + 1) * sd_g**2 + one)
        if norm.isf(settings.risk_reject / 2) * right + norm.isf(settings.risk_pass) * over <= 1.0:
            return n
    raise AssertionError("no sample does")


@pytest.mark.parametrize("freedom", [4.0, 9.0, None])
def test_a_scatter_from_few_pieces_asks_for_a_larger_sample(freedom: float | None) -> None:
    """The s.d. of f + 1 pieces is widened by Student's t over the normal quantile before a sample is asked for.

    Source of the widening: JCGM 100:2008, G.3.2; quantiles from scipy. A part of 1 g with 8 mg of scatter, 40 wanted.
    """
    settings = Settings(shop_name="Invented", risk_pass=0.001, risk_reject=0.005)
    known = lot("L", 1, 1.0, piece_sd_g=0.008, u_g=0.0004, piece_sd_source="single pieces" if freedom else "",
                piece_sd_freedom=freedom)  # fmt: skip
    factor = t.isf(0.001, freedom) / norm.isf(0.001) if freedom else 1.0

    (reach,) = reaches_of([SCALE], known, None, settings, want=40)

    assert reach.sample_pieces is not None
    assert reach.sample_pieces == pytest.approx(_needed(40, 0.008 * factor, settings), abs=1 if freedom != 4.0 else 2)
