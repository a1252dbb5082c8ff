"""What each scale for bags can count of a part in one bag, and which sample would let it count a wanted number.

Counts are those of :func:`fulfil.weighing.window.largest_count` for the shop's two risks, on average over fresh
samples, in a bag that is tared by its type, and never more than the scale carries. A piece s.d. that was itself
estimated from few weighings is widened first (:meth:`fulfil.weighing.unit_weight.UnitWeight.cautious`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from fulfil.counting.count_lines import scale_of
from fulfil.counting.lot_weights import estimate_of
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import UnitWeight
from fulfil.records.settings import Settings
from fulfil.weighing.causes.miscount import passes_miscounted
from fulfil.weighing.error_model import error_model
from fulfil.weighing.sampling import smallest_sample
from fulfil.weighing.scale import Scale
from fulfil.weighing.split import hand_reason
from fulfil.weighing.unit_weight import UnitWeight as UnitWeightEstimate
from fulfil.weighing.window import largest_count, window_of
from fulfil.weighing.worst_sample import is_held_by_worst

MOST_UNPROVEN_SAMPLES = 20
"""How many times its own number a sample's reach is looked at while its count isn't proven."""


@dataclass(frozen=True)
class Reach:
    """What one scale can count of a part, and what it would take to count the wanted number.

    ``before`` is None where there was no unit weight. ``sample_pieces`` is the smallest sample that resolves the wanted
    count in one bag, None where none does; ``why_not`` says why this part is never weighed on this scale.
    """

    scale_code: str
    d_g: Decimal
    before: int | None
    after: int
    why_not: str = ""
    sample_pieces: int | None = None


def reaches_of(
    scales: Sequence[ScaleRecord],
    after: UnitWeight,
    before: UnitWeight | None,
    settings: Settings,
    *,
    tare_sd_g: float = 0.0,
    want: int = 0,
) -> tuple[Reach, ...]:
    """What each scale for bags can count in one bag, coarsest first; in a bag whose tare has this s.d."""
    return tuple(
        _reach(scale, after, before, settings, tare_sd_g, want)
        for scale in sorted(scales, key=lambda scale: (-scale.d_g, scale.code))
        if scale.use == "bags"
    )


def _reach(
    record: ScaleRecord,
    after: UnitWeight,
    before: UnitWeight | None,
    settings: Settings,
    tare_sd_g: float,
    want: int,
) -> Reach:
    scale, estimate = scale_of(record), estimate_of(after)
    why_not = hand_reason(estimate, scale)
    sample_pieces = None
    if want and not why_not:
        load_g = want * after.mean_g
        cautious = estimate.cautious(min(settings.risk_pass, settings.risk_reject / 2))
        sample_pieces = smallest_sample(
            want,
            unit_weight_g=after.mean_g,
            piece_sd_g=cautious.piece_sd_g,
            indication_u_g=scale.window_u_g(load_g),
            reading_u_g=scale.net_window_u_g(load_g),
            tare_u_g=tare_sd_g,
            risk_pass=settings.risk_pass,
            risk_reject=settings.risk_reject,
        )
    return Reach(
        scale_code=record.code,
        d_g=record.d_g,
        before=None if before is None or not before.may_accept else most_countable(before, scale, settings, tare_sd_g),
        after=most_countable(after, scale, settings, tare_sd_g),
        why_not=why_not,
        sample_pieces=sample_pieces,
    )


def most_countable(record: UnitWeight, scale: Scale, settings: Settings, tare_sd_g: float = 0.0) -> int:
    """The largest count that this scale proves in one bag, within its capacity; 0 where it may not be weighed."""
    estimate = estimate_of(record)
    if hand_reason(estimate, scale):
        return 0
    cautious = estimate.cautious(min(settings.risk_pass, settings.risk_reject / 2))
    fits = int(float(scale.capacity_g) / record.mean_g)
    most = largest_count(
        unit_weight_g=cautious.mean_g,
        unit_weight_u_g=cautious.u_g,
        piece_sd_g=cautious.piece_sd_g,
        indication_u_g=scale.window_u_g(min(float(scale.capacity_g), 50 * record.mean_g)),
        tare_u_g=tare_sd_g,
        risk_pass=settings.risk_pass,
        risk_reject=settings.risk_reject,
    )
    most = min(int(most), fits)
    if settings.risks_held_by != "mean":
        most = _most_by_worst(most, cautious, estimate.piece_sd_freedom, scale, settings, tare_sd_g)
    return most if estimate.count_doubt == 0.0 else _most_unproven(most, cautious, scale, settings, tare_sd_g)


def _most_by_worst(
    most: int, estimate: UnitWeightEstimate, freedom: float, scale: Scale, settings: Settings, tare_sd_g: float
) -> int:
    """Of the counts that hold their risks as a mean, the largest that holds them by the worst believable sample."""
    one = error_model(
        1,
        unit_weight_g=estimate.mean_g,
        unit_weight_u_g=estimate.u_g,
        piece_sd_g=estimate.piece_sd_g,
        indication_u_g=scale.window_u_g(min(float(scale.capacity_g), 50 * estimate.mean_g)),
        tare_u_g=tare_sd_g,
    )
    enough, too_many = 0, most + 1
    while too_many - enough > 1:
        middle = (enough + too_many) // 2
        bag = one.with_pieces(float(middle))
        if is_held_by_worst(bag, freedom, risk_pass=settings.risk_pass, risk_reject=settings.risk_reject):
            enough = middle
        else:
            too_many = middle
    return enough


def _most_unproven(most: int, estimate: UnitWeightEstimate, scale: Scale, settings: Settings, tare_sd_g: float) -> int:
    """The count up to which a sample that may have been miscounted ships no more wrong bags than the shop allows."""
    pieces = np.arange(1, min(most, MOST_UNPROVEN_SAMPLES * estimate.sample_pieces) + 1)
    if not pieces.size:
        return 0
    bag = error_model(
        pieces,
        unit_weight_g=estimate.mean_g,
        unit_weight_u_g=estimate.u_g,
        piece_sd_g=estimate.piece_sd_g,
        indication_u_g=scale.window_u_g(min(float(scale.capacity_g), 50 * estimate.mean_g)),
        tare_u_g=tare_sd_g,
    )
    window = window_of(bag, risk_pass=settings.risk_pass, risk_reject=settings.risk_reject)
    more = passes_miscounted(
        bag,
        window.lower_g - window.target_g,
        window.upper_g - window.target_g,
        sample_pieces=estimate.sample_pieces,
        count_doubt=estimate.count_doubt,
    )
    too_many = np.maximum(window.p_pass_one_short, window.p_pass_one_over) + more > settings.risk_pass
    return int(np.argmax(too_many)) if too_many.any() else int(pieces[-1])
