"""Which parts, sampled today, save the most time next week.

What is asked for in a week is taken from the orders of the last four weeks (of a younger shop, of all its weeks). The
lines of each part are counted as the shop counts them today, and as it would with a fresh sample of its lot that ten
single pieces prove. The difference in time by the shop's own times, picking and checking, less what the sample takes,
is what it saves. A part that a sample helps in nothing, because it is too light for every scale, isn't listed.

Ties go by part number. The piece s.d. is what the shop believes of the part now; a sample's singles will say.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from math import sqrt

from fulfil.counting.bench_of_day import bench_of_day
from fulfil.counting.count_lines import Bench, Counted, count_line
from fulfil.counting.lot_weights import LotWeight, weight_for_lot
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin
from fulfil.records.plan import CountMethod
from fulfil.shop.clock import day_span, local_day
from fulfil.store.books import Books
from fulfil.weighing.scale import Scale
from fulfil.weighing.unit_weight import UnitWeight as UnitWeightEstimate

WEEKS = 4
SAMPLE_PIECES = 50
SINGLES = 10
MOST_PARTS = 20
PEOPLE = 2
"""Who picks counts, and who checks."""


@dataclass(frozen=True)
class WorthSampling:
    """A part's lot, the seconds a week its counts take now and would take, and what the sample itself takes."""

    part_number: str
    lot: str
    lines: float
    now_s: float
    then_s: float
    sample_s: float

    @property
    def saves_s(self) -> float:
        """What the first week saves."""
        return self.now_s - self.then_s - self.sample_s


def worth_sampling(books: Books, day: date, *, most: int = MOST_PARTS) -> tuple[WorthSampling, ...]:
    """The parts that save the most, first the best."""
    bench = bench_of_day(books, day)
    lines, weeks = _lines_of_weeks(books, day)
    numbers = sorted(lines)
    parts = {part.number: part for part in books.find(Part, number=numbers)}
    weights: dict[str, list[UnitWeight]] = defaultdict(list)
    for weight in books.find(UnitWeight, part_number=numbers):
        weights[weight.part_number].append(weight)
    lots = {place.part_number: place.lot for place in reversed(books.find(Bin, part_number=numbers))}
    found = [
        worth
        for number in numbers
        if number in parts and number in lots and weights[number]
        if (worth := _worth(parts[number], lots[number], weights[number], lines[number], weeks, bench)) is not None
    ]
    return tuple(sorted(found, key=lambda one: (-one.saves_s, one.part_number))[:most])


def seconds_of(bags: Sequence[Counted], bench: Bench) -> float:
    """How long one person takes to count a line's bags."""
    times = bench.times
    return sum(
        times.by_hand_s(bag.pieces)
        if not bag.method.is_weighed
        else times.weighed_s(1)
        if bag.method is CountMethod.WEIGH
        else times.poured_s(bag.pours, odd_pieces=bag.pieces % bag.pours)
        for bag in bags
    )


def _lines_of_weeks(books: Books, day: date) -> tuple[dict[str, list[int]], float]:
    """By part, the pieces of each line ordered in the last weeks; and how many weeks that were."""
    settings = books.settings()
    since, until = day_span(day - timedelta(weeks=WEEKS), settings)[0], day_span(day, settings)[1]
    found = books.between(Order, "received_at", since, until)
    orders = sorted(order.number for order in found)
    first = min((local_day(order.received_at, settings) for order in found), default=day)
    lines: dict[str, list[int]] = defaultdict(list)
    for line in books.find(OrderLine, order_number=orders):
        if line.pieces > 0:
            lines[line.part_number].append(line.pieces)
    return lines, max(1.0, ((day - first).days + 1) / 7)


def _worth(
    part: Part, lot: str, weights: Sequence[UnitWeight], lines: Sequence[int], weeks: float, bench: Bench
) -> WorthSampling | None:
    now = weight_for_lot(weights, lot)
    if now is None or not bench.scales:
        return None
    sampled = _sampled(now, bench.scales[-1][1])
    per_week = 1 / weeks
    now_s = PEOPLE * per_week * sum(seconds_of(count_line(part, now, pieces, bench), bench) for pieces in lines)
    then_s = PEOPLE * per_week * sum(seconds_of(count_line(part, sampled, pieces, bench), bench) for pieces in lines)
    sample_s = bench.times.by_hand_s(SAMPLE_PIECES) + bench.times.weighed_s(SINGLES + 1)
    worth = WorthSampling(part.number, lot, len(lines) * per_week, now_s, then_s, sample_s)
    return worth if worth.saves_s > 0.0 else None


def _sampled(now: LotWeight, scale: Scale) -> LotWeight:
    """What the shop would know of the lot after a sample, if it came out as believed."""
    mean_g, sd_g = now.record.mean_g, now.record.piece_sd_g
    reading_u_g = float(scale.net_window_u_g(SAMPLE_PIECES * mean_g))
    u_g = min(sqrt(sd_g**2 / SAMPLE_PIECES + (reading_u_g / SAMPLE_PIECES) ** 2), now.record.u_g or mean_g)
    values = now.record.model_dump() | {
        "u_g": u_g, "source": "sampled", "sample_pieces": SAMPLE_PIECES, "count_doubt": 0.0,
        "piece_sd_source": "single pieces", "piece_sd_freedom": float(SINGLES - 1),
    }  # fmt: skip
    estimate = UnitWeightEstimate(
        mean_g, u_g, sd_g, SAMPLE_PIECES, "group", "single pieces", piece_sd_freedom=_freedom(now)
    )
    return LotWeight(UnitWeight.model_validate(values), replace(estimate, lot=now.record.lot))


def _freedom(now: LotWeight) -> float:
    """The s.d. is then known by the singles, if it wasn't better known before."""
    before = now.record.piece_sd_freedom or 0.0
    return max(before if now.record.may_accept else 0.0, float(SINGLES - 1))
