"""How each bag of a line is counted: by which scale and within which window, or by hand, and why.

Decision order for a line: the fewest bags that hold its pieces; among the bench scales the coarsest one that holds both
risks (largest d, ties by code), because it is the quickest to settle and the fine one is then free for what needs it;
where no scale resolves the count, one bag more, up to the shop's limit; then by hand.
A part whose unit weight was never sampled is counted by hand: the paper says *sample first*.

The window on paper is the window rounded inwards to the scale's own digits, and the risks stand for exactly that.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from fulfil.planning.bagging import WayToBag, ways_to_bag
from fulfil.quantities import nearest_step
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Settings
from fulfil.standards.oiml_r76 import AccuracyClass
from fulfil.weighing.error_model import error_model
from fulfil.weighing.limits import on_scale, risks_between
from fulfil.weighing.scale import Scale
from fulfil.weighing.window import window_of


@dataclass(frozen=True)
class Counted:
    """How one bag is counted; weights in g, gross; None where the count can't be weighed."""

    pieces: int
    bag_type: BagType
    method: CountMethod
    reason: str
    scale_code: str = ""
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    p_reject: float | None = None
    p_pass_one_short: float | None = None
    p_pass_one_over: float | None = None


@dataclass(frozen=True)
class Bench:
    """What stands on the counting bench, coarsest scale first."""

    scales: tuple[tuple[str, Scale], ...]
    bag_types: tuple[BagType, ...]
    settings: Settings


def bench_of(scales: Sequence[ScaleRecord], bag_types: Sequence[BagType], settings: Settings) -> Bench:
    """The counting bench: the scales meant for bags, coarsest first."""
    for_bags = sorted((scale for scale in scales if scale.use == "bags"), key=lambda scale: (-scale.d_g, scale.code))
    return Bench(tuple((record.code, scale_of(record)) for record in for_bags), tuple(bag_types), settings)


def scale_of(record: ScaleRecord) -> Scale:
    """The scale that a record describes, as the weighing room knows it."""
    return Scale(
        cast(AccuracyClass, record.accuracy_class),
        e_g=record.e_g,
        d_g=record.d_g,
        capacity_g=record.max_g,
        min_load_g=record.min_g,
        repeatability_g=record.repeatability_g or None,
    )


def count_line(part: Part, unit_weight: UnitWeight | None, pieces: int, bench: Bench) -> tuple[Counted, ...]:
    """The bags of ``pieces`` of a part: how many, how large, and how each is counted."""
    ways = list(
        ways_to_bag(
            pieces,
            bulk_volume_mm3=part.bulk_volume_mm3,
            unit_weight_g=None if unit_weight is None else unit_weight.mean_g,
            bag_types=bench.bag_types,
            most_bags=bench.settings.most_bags_per_line,
        )
    )
    if unit_weight is None or not unit_weight.may_accept:
        source = "no unit weight" if unit_weight is None else f"unit weight from {unit_weight.source}"
        return _by_hand(ways[0], f"sample first: {source}")
    for way in ways:
        for code, scale in bench.scales:
            counted = _by_weight(way, unit_weight, code, scale, bench.settings)
            if counted:
                return counted
    return _by_hand(ways[0], "one piece more or less can't be seen on a scale here")


def _by_hand(way: WayToBag, reason: str) -> tuple[Counted, ...]:
    return tuple(Counted(share, way.bag_type, CountMethod.HAND, reason) for share in way.shares)


def _by_weight(
    way: WayToBag, unit_weight: UnitWeight, scale_code: str, scale: Scale, settings: Settings
) -> tuple[Counted, ...] | None:
    """The bags of one way on one scale; None unless both risks hold for every share."""
    counted: dict[int, Counted] = {}
    for share in sorted(set(way.shares), reverse=True):
        bag = _weighed(share, way, unit_weight, scale_code, scale, settings)
        if bag is None:
            return None
        counted[share] = bag
    return tuple(counted[share] for share in way.shares)


def _weighed(
    pieces: int, way: WayToBag, unit_weight: UnitWeight, scale_code: str, scale: Scale, settings: Settings
) -> Counted | None:
    """One bag's window on a scale; None when the load is outside the scale or the risks don't both hold."""
    tare_g = float(way.bag_type.tare_g)
    gross_g = tare_g + pieces * unit_weight.mean_g
    if not float(scale.min_load_g or 0) <= gross_g <= float(scale.capacity_g):
        return None
    bag = error_model(
        pieces,
        unit_weight_g=unit_weight.mean_g,
        unit_weight_u_g=unit_weight.u_g,
        piece_sd_g=unit_weight.piece_sd_g,
        indication_u_g=scale.indication_u_g(gross_g),
        tare_g=tare_g,
        tare_u_g=way.bag_type.tare_sd_g,
    )
    window = window_of(bag, risk_pass=settings.risk_pass, risk_reject=settings.risk_reject)
    if not window.resolvable:
        return None
    lower_g, upper_g = on_scale(window, scale.d_g)
    risks = risks_between(bag, float(lower_g) - bag.target_g, float(upper_g) - bag.target_g, d_g=float(scale.d_g))
    return Counted(
        pieces=pieces,
        bag_type=way.bag_type,
        method=CountMethod.WEIGH,
        reason="",
        scale_code=scale_code,
        target_g=nearest_step(Decimal(repr(window.target_g)), scale.d_g),
        lower_g=lower_g,
        upper_g=upper_g,
        p_reject=risks.p_reject,
        p_pass_one_short=risks.p_pass_one_short,
        p_pass_one_over=risks.p_pass_one_over,
    )
