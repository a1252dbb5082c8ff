"""The weighings whose count is known, for the parts of a day: what the shop learns from and charts.

A bag that passed by weight is known to the risk of its window; one that a person counted by hand is known by that.
Bags that failed, or whose verdict was taken back, are never among them, nor what was weighed before the lot's last
sample, nor on a scale that the shop no longer describes.

Limits: weighings from before the shop wrote down the part with each weighing aren't found.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from math import hypot, inf, sqrt

from fulfil.counting.count_lines import scale_of
from fulfil.counting.lot_weights import LotWeight, weight_for_lot
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.books import Books

MOST_WEIGHINGS = 20
"""How many earlier weighings of a part are looked at."""


@dataclass(frozen=True)
class KnownCount:
    """One weighing of a known count, in g, net; the window that passed it has a centre and a half-width.

    ``bag_type`` is empty where the bag was tared. For a bag that was counted by hand or in pours no window chose it:
    its half-width is infinite.
    """

    at: datetime
    bag_code: str
    part_number: str
    lot: str
    scale_code: str
    bag_type: str
    pieces: int
    net_g: float
    noise_u_g: float
    centre_g: float
    half_width_g: float
    is_of_day: bool


@dataclass(frozen=True)
class KnownCounts:
    """All of them in the order of time, and the unit weights of their parts."""

    weighings: tuple[KnownCount, ...]
    unit_weights: dict[str, tuple[UnitWeight, ...]]

    def weight(self, part_number: str, lot: str) -> LotWeight | None:
        """The unit weight by which a lot is counted."""
        return weight_for_lot(self.unit_weights.get(part_number, ()), lot)


def known_counts(books: Books, day: date) -> KnownCounts:
    """The weighings of known counts of every part that is on a walk of the day, since its lots' last samples.

    Of each part the last :data:`MOST_WEIGHINGS`: older ones say little of today's scales, and their number would grow
    with the shop's age.
    """
    walks = [walk.number for walk in books.find(WalkRecord, day=day)]
    of_day = {bag.code: bag for bag in books.find(Bag, walk_number=walks)}
    parts = sorted({bag.part_number for bag in of_day.values()})
    passed = {"kind": WeighedKind.BAG, "verdict": Verdict.PASSED}
    found = books.latest(WeighingRecord, "part_number", parts, MOST_WEIGHINGS, **passed)
    # Of a bag that passed twice, since its first verdict was taken back, the last weighing counts.
    last = {one.subject: one for one in found}
    last |= {one.subject: one for one in books.find(WeighingRecord, subject=sorted(of_day), **passed)}
    earlier = sorted(last.keys() - of_day.keys())
    bags = of_day | {bag.code: bag for bag in books.find(Bag, code=earlier)}
    weights: dict[str, list[UnitWeight]] = defaultdict(list)
    for weight in books.find(UnitWeight, part_number=parts):
        weights[weight.part_number].append(weight)
    scales = {scale.code: scale for scale in books.find(ScaleRecord)}
    tare_sd_g = {bag_type.code: bag_type.tare_sd_g for bag_type in books.find(BagType)}
    known = [
        _known(one, bags[one.subject], scales[one.scale_code], tare_sd_g.get(bags[one.subject].bag_type, 0.0), of_day)
        for one in last.values()
        if one.subject in bags
        and bags[one.subject].state in (BagState.PASSED, BagState.PACKED)
        and one.scale_code in scales
        and _is_since_sample(one, weights[one.part_number])
    ]
    kept = sorted((one for one in known if one.net_g > 0.0), key=lambda one: one.at)
    return KnownCounts(tuple(kept), {part: tuple(records) for part, records in weights.items()})


def _is_since_sample(weighing: WeighingRecord, weights: Sequence[UnitWeight]) -> bool:
    weight = weight_for_lot(weights, weighing.lot)
    sampled_at = None if weight is None or weight.note else weight.record.sampled_at
    return sampled_at is None or weighing.at >= sampled_at


def _known(
    weighing: WeighingRecord, bag: Bag, scale: ScaleRecord, tare_sd_g: float, of_day: dict[str, Bag]
) -> KnownCount:
    tare_g = float(weighing.tare_g)
    gross_g = float(weighing.indication_g)
    centre_g, half_g = gross_g - tare_g, inf
    scale_u_g = scale_of(scale).indication_u_g(gross_g)
    if bag.method.is_net:
        # Tared before each pour: two readings each; the bag itself is out of it.
        scale_u_g, tare_sd_g = sqrt(bag.pours) * scale_of(scale).net_u_g(gross_g / bag.pours), 0.0
    if (
        bag.method is not CountMethod.POUR
        and not weighing.was_counted
        and bag.lower_g is not None
        and bag.upper_g is not None
    ):
        centre_g = float(bag.lower_g + bag.upper_g) / 2 - tare_g
        half_g = float(bag.upper_g - bag.lower_g + scale.d_g) / 2
    return KnownCount(
        at=weighing.at,
        bag_code=bag.code,
        part_number=bag.part_number,
        lot=weighing.lot,
        scale_code=scale.code,
        bag_type="" if bag.method.is_net else bag.bag_type,
        pieces=bag.pieces,
        net_g=gross_g - tare_g,
        noise_u_g=float(hypot(scale_u_g, tare_sd_g)),
        centre_g=centre_g,
        half_width_g=half_g,
        is_of_day=bag.code in of_day,
    )
