"""How each bag of a line is counted: by which scale and within which window, or by hand, and why.

Order of the decision: the fewest bags that hold its pieces by volume and load; among the bench scales the coarsest one
that holds both risks of the whole *line* (largest d, ties by code), because it is the quickest to settle and the fine
one is then free for what needs it. Where no scale does, the quickest of these by the shop's times
(:mod:`fulfil.weighing.count_times`), ties in this order: more bags, up to the shop's limit; the fewest bags, each tared
itself and filled at once or in pours; by hand. By hand the reason says which risk gives, or which sample would do. The
risks of a line of k bags are shared out among them, so its own stay what the shop set (:mod:`fulfil.weighing.split`,
:mod:`fulfil.weighing.pours`); they are averaged over the part's own sample.

Which unit weight says :mod:`fulfil.counting.lot_weights`. Where another lot's is too wide, and for a part that was
never sampled, the paper says *sample first*.

A scale that failed its check-weight test is on no bench (:mod:`fulfil.counting.scale_checks`).
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from math import hypot
from typing import TypeVar, cast

from fulfil.counting.lot_weights import LotWeight
from fulfil.planning.bagging import WayToBag, ways_to_bag
from fulfil.quantities import nearest_step
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Settings
from fulfil.standards.oiml_r76 import AccuracyClass
from fulfil.weighing import split, unit_weight
from fulfil.weighing.count_times import CountTimes, in_words
from fulfil.weighing.pours import CountedPours, counted_pours
from fulfil.weighing.scale import Scale
from fulfil.weighing.worst_sample import held_by_worst, worst_risks

CAN_T_SEE = "one piece more or less can't be seen on a scale here"
BIAS_SHARE = 0.5
"""Share of the error permitted in service that windows allow for: the error permitted at verification, half of it
(OIML R 76-1:2006, 3.5.1 and 3.5.2), which a scale keeps that was adjusted well."""
SHARED_TARE_SD = 1.0
"""What all bags of a delivery may have in common off their type's tare, in s.d. from bag to bag (judgement)."""
FAMILY_SD_FREEDOM = 8.0
"""Degrees of freedom of a piece s.d. that was taken from a part's family or from nowhere: known to 25 % (judgement)."""
MOST_SAMPLE_PIECES = 500
"""A paper asks for no larger sample than this: counting the line itself is less work (common practice)."""
FIRST_BY_HAND = (10, 15)
"""How many pieces of a part that nobody sampled are counted out by hand, and then again, before a scale tells the rest
(judgement: a piece off in the first makes the second one and a half pieces off, which every scale shows that can count
the part at all)."""
PROVE = "weigh ten pieces one by one, or a second sample of another number"
T = TypeVar("T")


@dataclass(frozen=True)
class Counted:
    """How one bag is counted; weights in g, gross (net where the method is); None where the count can't be weighed."""

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
    pours: int = 1


@dataclass(frozen=True)
class Bench:
    """What stands on the counting bench, coarsest scale first, and how long a count takes there."""

    scales: tuple[tuple[str, Scale], ...]
    bag_types: tuple[BagType, ...]
    settings: Settings
    times: CountTimes


def bench_of(
    scales: Sequence[ScaleRecord],
    bag_types: Sequence[BagType],
    settings: Settings,
    *,
    bias_shares: Mapping[str, float] = {},
    times: CountTimes | None = None,
) -> Bench:
    """The counting bench: the scales meant for bags, coarsest first.

    ``bias_shares`` says for scales that were checked what windows allow for (:mod:`fulfil.counting.scale_room`);
    ``times`` are those that were learned, else the settings' hold.
    """
    for_bags = sorted((scale for scale in scales if scale.use == "bags"), key=lambda scale: (-scale.d_g, scale.code))
    known = tuple((record.code, scale_of(record, bias_shares.get(record.code, BIAS_SHARE))) for record in for_bags)
    return Bench(known, tuple(bag_types), settings, times or times_set(settings))


def times_set(settings: Settings) -> CountTimes:
    """How long a count takes by the settings."""
    return CountTimes(settings.count_seconds_per_piece, settings.seconds_per_weighing)


def scale_of(record: ScaleRecord, bias_share: float = BIAS_SHARE) -> Scale:
    """The scale that a record describes, as the weighing room knows it, with the bias that windows allow for."""
    return Scale(
        cast(AccuracyClass, record.accuracy_class),
        e_g=record.e_g,
        d_g=record.d_g,
        capacity_g=record.max_g,
        min_load_g=record.min_g,
        repeatability_g=record.repeatability_g or None,
        bias_share=bias_share,
    )


def bag_tare_u_g(bag_type: BagType) -> float:
    """Standard uncertainty of an untared bag's tare, in g: from bag to bag, and what a lot of bags has in common."""
    return hypot(bag_type.tare_sd_g, SHARED_TARE_SD * bag_type.tare_sd_g)


def least_tare_u_g(bag_types: Sequence[BagType]) -> float:
    """That of the bag type that is known best; 0 for a shop without bags."""
    return min(map(bag_tare_u_g, bag_types), default=0.0)


def count_line(part: Part, weight: LotWeight | None, pieces: int, bench: Bench) -> tuple[Counted, ...]:
    """The bags of ``pieces`` of a part: how many, how large, and how each is counted."""
    ways = list(
        ways_to_bag(
            pieces,
            bulk_volume_mm3=part.bulk_volume_mm3,
            sides_mm=part.sides_mm,
            unit_weight_g=None if weight is None else weight.record.mean_g,
            bag_types=bench.bag_types,
            most_bags=bench.settings.most_bags_per_line,
        )
    )
    if weight is None or not weight.record.may_accept:
        source = "no unit weight" if weight is None else f"unit weight from {weight.record.source}"
        return _by_hand(ways[0], f"sample first: {source}{_by_its_own(weight, ways[0], bench)}")
    plain = next(_as_they_are(ways, weight, bench), None)
    by_hand_s = bench.times.by_hand_s(pieces)
    if plain is not None and len(plain) == len(ways[0].shares):
        return plain
    found = [] if plain is None else [(bench.times.weighed_s(len(plain)), plain)]
    found += list(_tared(ways[0], weight, bench))
    seconds, bags = min(found, key=lambda one: one[0], default=(by_hand_s, ()))
    if bags and (bags is plain or seconds <= by_hand_s):
        return bags
    why = _why_by_hand(ways, weight, pieces, bench)
    if bags and why == CAN_T_SEE:
        why = f"by hand is quickest: {in_words(by_hand_s)}, on the tared scale {in_words(seconds)}"
    return _by_hand(ways[0], why)


def _as_they_are(ways: Sequence[WayToBag], weight: LotWeight, bench: Bench) -> Iterator[tuple[Counted, ...]]:
    """The ways to weigh the line's bags with their tare by type, fewest bags first."""
    for way in ways:
        for code, scale in bench.scales:
            bags = _bags(way, weight.estimate, scale, bench.settings)
            if bags:
                yield tuple(_weighed(bag, way, code, scale, weight.note) for bag in bags)


def _tared(way: WayToBag, weight: LotWeight, bench: Bench) -> Iterator[tuple[float, tuple[Counted, ...]]]:
    """With their seconds, the ways to count the bags on a tared scale; coarsest scale first."""
    share = len(way.shares)
    for code, scale in bench.scales:
        made = {
            pieces: _pours(pieces, weight.estimate, scale, way.bag_type, bench.settings, share)
            for pieces in set(way.shares)
        }
        bags = [made[pieces] for pieces in way.shares]
        counted = [bag for bag in bags if bag is not None]
        if len(counted) == share:
            seconds = sum(bench.times.poured_s(bag.pours, odd_pieces=bag.odd_pieces) for bag in counted)
            yield seconds, tuple(_poured(bag, way, code, scale, weight.note, bench.times) for bag in counted)


def _bags(
    way: WayToBag, estimate: unit_weight.UnitWeight, scale: Scale, settings: Settings
) -> tuple[split.CountedBag, ...] | None:
    tare_g, tare_u_g = float(way.bag_type.tare_g), bag_tare_u_g(way.bag_type)

    def made(risk_pass: float) -> tuple[split.CountedBag, ...] | None:
        return split.counted_bags(
            way.shares,
            estimate,
            scale,
            tare_g=tare_g,
            tare_u_g=tare_u_g,
            risk_pass=risk_pass,
            risk_reject=settings.risk_reject,
        )

    def worst(bags: tuple[split.CountedBag, ...]) -> float:
        each = (
            worst_risks(bag.pieces, bag.lower_g, bag.upper_g, estimate, scale, tare_g=tare_g, tare_u_g=tare_u_g)
            for bag in bags
        )
        return sum(one.p_pass for one in each)

    return _held(made, worst, settings.risk_pass, settings)


def _pours(
    pieces: int, estimate: unit_weight.UnitWeight, scale: Scale, bag_type: BagType, settings: Settings, share: int
) -> CountedPours | None:
    """One of ``share`` bags of a line on the tared scale."""

    def made(risk_pass: float) -> CountedPours | None:
        return counted_pours(
            pieces,
            estimate,
            scale,
            tare_g=float(bag_type.tare_g),
            risk_pass=risk_pass,
            risk_reject=settings.risk_reject / share,
        )

    def worst(bag: CountedPours) -> float:
        each = bag.each
        return worst_risks(
            each.pieces, each.lower_g, each.upper_g, estimate, scale, is_tared=True, pours=bag.pours
        ).p_pass

    return _held(made, worst, settings.risk_pass / share, settings)


def _held(
    make: Callable[[float], T | None], worst: Callable[[T], float], risk_pass: float, settings: Settings
) -> T | None:
    """What is made with the shop's risk, held as a mean or by the worst believable unit weight."""
    return make(risk_pass) if settings.risks_held_by == "mean" else held_by_worst(make, worst, risk_pass)


def _by_hand(way: WayToBag, reason: str) -> tuple[Counted, ...]:
    return tuple(Counted(share, way.bag_type, CountMethod.HAND, reason) for share in way.shares)


def _by_its_own(weight: LotWeight | None, way: WayToBag, bench: Bench) -> str:
    """That a bag's own first pieces may be its sample, where that saves time."""
    by_hand = sum(FIRST_BY_HAND)
    # Two lots by hand and about two more, each tared.
    own_s = bench.times.by_hand_s(by_hand) + bench.times.poured_s(4)
    if weight is None or bench.times.by_hand_s(way.shares[-1]) <= own_s:
        return ""
    known = replace(weight.estimate, source="group")
    if all(split.hand_reason(known, scale) for _, scale in bench.scales):
        return ""
    one, two = FIRST_BY_HAND
    return f"; or count {one}, then {two}, and 'bags count-up' tells the rest"


def _why_by_hand(ways: Sequence[WayToBag], weight: LotWeight, pieces: int, bench: Bench) -> str:
    """The reason in words: a new lot that a sample would help, else what the finest scale that takes the load says."""
    if not bench.scales:
        return "no scale for bags may be used today: see the scales' check-weight tests"
    if weight.note and _would_do(ways, weight.estimate.after_lot_change(0.0), bench):
        return f"sample first: new lot, {weight.note.partition(':')[0]}"
    proven = replace(weight.estimate, count_doubt=0.0)
    if weight.estimate.count_doubt > 0.0 and _would_do(ways, proven, bench):
        return f"the sample's count is not proven: {PROVE}"
    way = ways[0]
    load_g = float(way.bag_type.tare_g) + way.shares[-1] * weight.record.mean_g
    able = [scale for _, scale in bench.scales if load_g <= float(scale.capacity_g)]
    if not able:
        return f"a bag of it weighs {load_g:.0f} g, more than a scale for bags carries here"
    plan = split.counting_plan(
        pieces,
        weight.estimate,
        able[-1],
        tare_g=float(way.bag_type.tare_g),
        tare_u_g=bag_tare_u_g(way.bag_type),
        k_max=len(ways[-1].shares),
        risk_pass=bench.settings.risk_pass,
        risk_reject=bench.settings.risk_reject,
    )
    if plan.sample_pieces is not None and plan.sample_pieces <= MOST_SAMPLE_PIECES:
        return f"{CAN_T_SEE}; a sample of {plan.sample_pieces} pieces would do"
    # A line that one of its bags alone would resolve fails by the bags that its volume asks for.
    return plan.reason.rstrip(".") if plan.method == "hand" and not plan.gives else CAN_T_SEE


def _would_do(ways: Sequence[WayToBag], estimate: unit_weight.UnitWeight, bench: Bench) -> bool:
    """Whether the line could be weighed if this were known of it: its lot like the last one, its sample proven."""
    return any(_bags(way, estimate, scale, bench.settings) for way in ways for _, scale in bench.scales)


def _poured(bag: CountedPours, way: WayToBag, scale_code: str, scale: Scale, note: str, times: CountTimes) -> Counted:
    seconds, by_hand_s = times.poured_s(bag.pours, odd_pieces=bag.odd_pieces), times.by_hand_s(bag.pieces)
    quickest = f"quickest: {in_words(seconds)}, by hand {in_words(by_hand_s)}"
    return Counted(
        pieces=bag.pieces,
        bag_type=way.bag_type,
        method=CountMethod.TARE if bag.pours == 1 else CountMethod.POUR,
        reason=f"{note}; {quickest}" if note else quickest,
        scale_code=scale_code,
        target_g=nearest_step(Decimal(repr(bag.each.target_g)), scale.d_g),
        lower_g=bag.each.lower_g,
        upper_g=bag.each.upper_g,
        p_reject=bag.risks.p_reject,
        p_pass_one_short=bag.risks.p_pass_one_short,
        p_pass_one_over=bag.risks.p_pass_one_over,
        pours=bag.pours,
    )


def _weighed(bag: split.CountedBag, way: WayToBag, scale_code: str, scale: Scale, note: str) -> Counted:
    return Counted(
        pieces=bag.pieces,
        bag_type=way.bag_type,
        method=CountMethod.WEIGH,
        reason=note,
        scale_code=scale_code,
        target_g=nearest_step(Decimal(repr(float(bag.window.target_g))), scale.d_g),
        lower_g=bag.lower_g,
        upper_g=bag.upper_g,
        p_reject=bag.risks.p_reject,
        p_pass_one_short=bag.risks.p_pass_one_short,
        p_pass_one_over=bag.risks.p_pass_one_over,
    )
