"""Unit weights: every source, what it is good for, lots, and small samples."""

import math
from typing import Literal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.weighing.unit_weight import (
    UnitWeight,
    from_group,
    from_groups,
    from_pieces,
    from_sub_batches,
    from_table,
)
from fulfil.weighing.window import count_window, largest_count

BALLS_G = [0.912, 0.905, 0.894, 0.901, 0.908, 0.897, 0.903, 0.899, 0.906, 0.895]


def test_one_group_weighing() -> None:
    """μ̂ = W/n and u² = σ²/n + u_ref²/n²: 45 g for 50 pieces of 1 %, read to 0.03 g."""
    part = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)

    assert part.mean_g == pytest.approx(0.9)
    assert part.u_g == pytest.approx(math.sqrt(0.009**2 / 50 + 0.03**2 / 50**2))
    assert (part.source, part.piece_sd_source, part.sample_pieces) == ("group", "family prior", 50)


def test_single_pieces() -> None:
    """Ten pieces: mean .902 g, s .00586894 g (computed); a perfect reading takes nothing out of s."""
    part = from_pieces(BALLS_G, reading_u_g=0.0)

    assert part.mean_g == pytest.approx(0.902)
    assert part.piece_sd_g == pytest.approx(0.00586894, abs=5e-9)
    assert part.u_g == pytest.approx(0.00586894 / math.sqrt(10))
    assert part.piece_sd_freedom == 9


def test_the_scale_is_counted_once() -> None:
    """The readings scatter by the scale already: it comes out of σ, and isn't added to u again."""
    part = from_pieces(BALLS_G, reading_u_g=0.003)

    assert part.piece_sd_g == pytest.approx(math.sqrt(0.00586894**2 - 0.003**2), rel=1e-6)
    assert part.u_g == pytest.approx(0.00586894 / math.sqrt(10))


def test_a_coarse_scale_hides_the_scatter_but_never_makes_it_vanish() -> None:
    """Readings that never move show only that σ is at most about the reading's own uncertainty."""
    part = from_pieces([0.9] * 10, reading_u_g=0.03)

    assert part.piece_sd_g == pytest.approx(0.03)
    assert part.u_g >= 0.03 / math.sqrt(10)


def test_sub_batches_show_the_scatter_of_single_pieces() -> None:
    """Var of batches of b is b σ²: on 4,000 simulated sub-batches of 10 within 5 standard errors; u counts once."""
    rng = np.random.default_rng(11)
    nets = rng.normal(9.0, 0.009 * 10**0.5, 4_000) + rng.normal(0, 0.02, 4_000)
    part = from_sub_batches(nets.tolist(), 10, reading_u_g=0.02)

    assert part.piece_sd_g == pytest.approx(0.009, rel=5 * 1.5 / (2 * 4_000) ** 0.5)
    assert part.mean_g == pytest.approx(0.9, abs=5 * part.u_g)
    assert part.u_g == pytest.approx(float(nets.std(ddof=1)) / 10 / 4_000**0.5)
    assert part.sample_pieces == 40_000


def test_a_group_with_the_scatter_of_single_pieces() -> None:
    """Usual at the bench: ten single pieces for the scatter, fifty together for the mean; the source says so."""
    singles = from_pieces(BALLS_G, reading_u_g=0.0005)
    part = from_group(45.1, 50, reading_u_g=0.03, relative_piece_sd=singles)

    assert part.relative_piece_sd == pytest.approx(singles.relative_piece_sd)
    assert (part.source, part.piece_sd_source, part.piece_sd_freedom) == ("group", "single pieces", 9)
    assert str(part).endswith("from one weighing of 50 pieces (piece s.d.: single pieces)")


@given(n=st.integers(2, 200), more=st.integers(1, 200), c=st.floats(0.0001, 0.1), reading=st.floats(0, 0.1))
def test_uncertainty_falls_as_the_sample_grows(n: int, more: int, c: float, reading: float) -> None:
    """More pieces on the pan never make the unit weight less certain, and three groups beat one of them."""
    one = from_group(n * 1.0, n, reading_u_g=reading, relative_piece_sd=c)
    larger = from_group((n + more) * 1.0, n + more, reading_u_g=reading, relative_piece_sd=c)
    three = from_groups([(n * 1.0, n)] * 3, reading_u_g=reading, relative_piece_sd=c)

    assert larger.u_g < one.u_g
    assert three.u_g == pytest.approx(one.u_g / math.sqrt(3))


@pytest.mark.parametrize("source", ["geometry", "handbook"])
def test_tables_plan_but_never_accept(source: Literal["geometry", "handbook"]) -> None:
    """±10 % as a rectangular limit; not usable for acceptance."""
    table = from_table(0.9, source)

    assert not table.is_usable_for_acceptance
    assert table.u_g == pytest.approx(0.09 / math.sqrt(3))


def test_a_lot_change_makes_it_less_certain_until_sampled() -> None:
    """One lot known: u² + 2 σ_L²; a second change in a row adds nothing; of four lots: u² + 1.25 σ_L²."""
    known = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01, lot="A7")
    changed = known.after_lot_change(0.0045)

    assert changed.u_g == pytest.approx(math.sqrt(known.u_g**2 + 2 * 0.0045**2))
    assert changed.lot == ""
    assert changed.after_lot_change(0.0045).u_g == pytest.approx(changed.u_g)
    four = UnitWeight(0.9, 0.001, 0.009, 200, "single pieces", "single pieces", lots=4)
    assert four.after_lot_change(0.004).u_g == pytest.approx(math.sqrt(0.001**2 + 1.25 * 0.004**2))


def test_a_lot_shift_costs_resolvable_pieces() -> None:
    """c_L = .5 % takes the worked part from 90-odd pieces to fewer than 30."""

    def largest(part: UnitWeight) -> int:
        return int(
            largest_count(
                unit_weight_g=part.mean_g,
                unit_weight_u_g=part.u_g,
                piece_sd_g=part.piece_sd_g,
                indication_u_g=0.03,
                tare_u_g=0.02,
            )
        )

    known = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)

    assert largest(known) > 80
    assert largest(known.after_lot_change(0.0045)) < 30


def test_a_scatter_from_five_pieces_keeps_its_risk_when_widened() -> None:
    """Simulated: σ from 5 single pieces, bags of 45, one over. Plain normal windows pass too often, widened ones don't.

    Share of all bags that are called resolvable and pass; 300,000 samples; four standard errors.
    """
    c, n, pieces, bags = 0.01, 5, 45, 300_000
    rng = np.random.default_rng(3)
    samples = rng.normal(1, c, (bags, n))
    means, sds = samples.mean(axis=1), samples.std(axis=1, ddof=1)
    gross = rng.normal(pieces + 1, c * (pieces + 1) ** 0.5, bags) + rng.normal(0, 0.001, bags)
    widening = (
        from_pieces(samples[0].tolist(), reading_u_g=0).cautious(0.001).piece_sd_g
        / from_pieces(samples[0].tolist(), reading_u_g=0).piece_sd_g
    )

    def share(factor: float) -> float:
        windows = count_window(
            pieces,
            unit_weight_g=means,
            unit_weight_u_g=factor * sds / n**0.5,
            piece_sd_g=factor * sds,
            indication_u_g=0.001,
        )
        return float(np.mean(windows.resolvable & (gross >= windows.lower_g) & (gross <= windows.upper_g)))

    assert widening == pytest.approx(2.3213, abs=1e-3)
    assert share(1.0) > 0.001 + 4 * (0.001 / bags) ** 0.5
    assert share(widening) <= 0.001 + 4 * (0.001 / bags) ** 0.5


def test_a_known_scatter_is_left_alone() -> None:
    """A family prior is taken as known: nothing to widen."""
    part = from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=0.01)

    assert part.cautious(0.001) is part


@pytest.mark.parametrize("pieces", [0, 1])
def test_a_sample_of_none_or_one_is_refused(pieces: int) -> None:
    """Count out more: at least 2, better 10."""
    with pytest.raises(WeighingRefused) as refused:
        from_group(0.9, pieces, reading_u_g=0.03, relative_piece_sd=0.01)

    assert str(refused.value) == (
        f"Cannot take a unit weight from pieces '{pieces}': "
        "expected a sample of at least 2, better 10; count it out by hand."
    )


@pytest.mark.parametrize("net", [0.0, -3.0, math.nan, math.inf])
def test_a_sample_without_weight_is_refused(net: float) -> None:
    """Net 0, negative or no number: zero the scale, tare the tray, weigh again."""
    with pytest.raises(WeighingRefused, match="zero the scale, tare the tray, weigh again"):
        from_group(net, 50, reading_u_g=0.03, relative_piece_sd=0.01)
    with pytest.raises(WeighingRefused, match="zero the scale, tare the tray, weigh again"):
        from_pieces([0.9, net], reading_u_g=0.001)


def test_other_numbers_that_cannot_be_are_refused() -> None:
    """One weighing shows no scatter; percent isn't a part of 1; no negative uncertainty; no batch of 0."""
    with pytest.raises(WeighingRefused, match="at least two; weigh ten single pieces or ten sub-batches"):
        from_pieces([0.9], reading_u_g=0.001)
    with pytest.raises(WeighingRefused, match=r"a part of 1, such as 0.01 for 1 %"):
        from_group(45.0, 50, reading_u_g=0.03, relative_piece_sd=1.0)
    with pytest.raises(WeighingRefused, match="Cannot use reading uncertainty '-1 g'"):
        from_group(45.0, 50, reading_u_g=-1, relative_piece_sd=0.01)
    with pytest.raises(QuantityRefused, match="Cannot weigh sub-batches of pieces '0'"):
        from_sub_batches([9.0, 9.1], 0, reading_u_g=0.01)
    with pytest.raises(WeighingRefused, match="read the table again"):
        from_table(math.nan, "handbook")
    with pytest.raises(WeighingRefused, match="compare two lots first"):
        from_table(0.9, "handbook").after_lot_change(math.nan)
    with pytest.raises(WeighingRefused, match=r"Cannot use piece s.d."):
        UnitWeight(0.9, 0.01, -0.1, 10, "group", "family prior")
    with pytest.raises(WeighingRefused, match="Cannot use unit weight 'nan g'"):
        UnitWeight(math.nan, 0.01, 0.1, 10, "group", "family prior")
