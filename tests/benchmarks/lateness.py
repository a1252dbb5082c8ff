"""Does the schedule get packages out in time, and are its chances of lateness true? Simulated days, invented shop.

``python -m tests.benchmarks.lateness [--days 1500] [--months 5]``

The world is another one than the forecast's: each person has a walking and a counting speed of the day, every line its
own gamma-distributed time, one walk in twenty is interrupted for minutes, and all of it takes 8 % longer than the
settings say. Three people, three collections, one order in twenty is a rush order that arrives during the day and goes
on a walk of its own. Whenever somebody is free, what has not left is planned anew, and a walk that waits is halved
where somebody would be late without (:mod:`fulfil.planning.halving`).

Printed: months of 22 days with loads that three people can do or nearly can, and how many packages were in time on the
days that a bound allows at all, walks halved and not; then days of loads from easy to hopeless, of which the forecast
is asked at eight and at one hour of the day, and how often it was right, by what it said. It says what comes of walks
that stay as they are, so none is halved on these days (``--halving``: how far off it is where they are). A service-day
whose limit is past counts no more. Without rush orders, the days of this simulator are those of simpy (a discrete
event library) to the second, or the script stops.
"""

import heapq
from argparse import ArgumentParser
from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import pairwise
from time import perf_counter

import numpy as np
import simpy

from fulfil.planning.halving import halve_late
from fulfil.planning.lateness import Due, UnderWay, foresee
from fulfil.planning.paces import Pace, learn_pace, left_s
from fulfil.planning.people import TimedWalk, least_late_s, share_out
from fulfil.room.time_model import TimeModel

PICKERS = 3
MODEL = TimeModel(count_s=25.0)
SERVICES = {"A": 9000, "B": 19800, "C": 28800}
"""Seconds after eight by which walks must have ended: 10:30, 13:30, 16:00."""
CART, LINES, LOOKS, SLOWER = 8, 12, 300, 1.08
WAY_OUT_MM = 40_000
HALVING_S = round(MODEL.times(WAY_OUT_MM, ()).total_s)
"""What two walks take longer than one: set-up and way out once more."""


@dataclass(frozen=True)
class Walk:
    """A walk of one service: metres, levels of its lines' bins, its orders, when it is known."""

    name: str
    service: str
    length_mm: int
    levels: tuple[int, ...]
    orders: int
    known_s: int = 0

    @property
    def expected_s(self) -> float:
        """By the settings."""
        return MODEL.times(self.length_mm, self.levels).total_s


@dataclass
class Went:
    """What a walk took of whom, in truth."""

    walk: Walk
    picker: int
    begins_s: float
    ends_s: float

    @property
    def is_late(self) -> bool:
        """Whether it ended after its limit."""
        return self.ends_s > SERVICES[self.walk.service]


def walks_of_day(orders: int, rng, *, rush: float) -> list[Walk]:
    """So many orders on carts of eight by service, and rush orders each on a walk of its own."""
    walks = []
    waiting = defaultdict(list)
    for number in range(orders):
        lines = int(rng.geometric(1 / LINES))
        if rng.uniform() < rush:
            at = int(rng.uniform(0, 25000))
            code = next(code for code, limit in SERVICES.items() if at + 2700 <= limit)
            walks.append(walk(f"R{number}", code, [lines], rng, known_s=at))
        else:
            waiting[str(rng.choice(list(SERVICES)))].append(lines)
    for code, found in sorted(waiting.items()):
        for first in range(0, len(found), CART):
            walks.append(walk(f"{code}{first // CART:02}", code, found[first : first + CART], rng))
    return walks


def walk(name, service, lines, rng, *, known_s=0):
    """A walk over orders of so many lines: 40 m and about 6 m a line."""
    levels = tuple(int(level) for level in rng.integers(0, 4, sum(lines)))
    return Walk(name, service, int(1000 * (40 + 6 * len(levels) * rng.uniform(0.7, 1.3))), levels, len(lines), known_s)


class Truth:
    """How long walks really take today: drawn once for each walk and person."""

    def __init__(self, people, rng):
        self.people, self.rng = people, rng
        self.today = [
            (float(np.exp(0.06 * rng.standard_normal())), float(np.exp(0.06 * rng.standard_normal()))) for _ in people
        ]
        self.drawn = {}

    def seconds(self, walk, picker):
        """Of this walk by this person."""
        if walk.name not in self.drawn:
            parts = MODEL.times(walk.length_mm, walk.levels)
            at_bins = parts.reach_s + parts.search_s + parts.count_s
            lines = len(walk.levels)
            counted = float(self.rng.gamma(2.8, 1 / 2.8, lines).mean()) * at_bins
            set_up = float(self.rng.gamma(6, parts.set_up_s / 6))
            stopped = float(self.rng.uniform(120, 360)) if self.rng.uniform() < 0.05 else 0.0
            self.drawn[walk.name] = (parts.walk_s, counted, set_up + stopped)
        way, counted, other = self.drawn[walk.name]
        walks, counts = self.people[picker]
        today = self.today[picker]
        return SLOWER * (way * walks * today[0] + counted * counts * today[1] + other)


def plan(waiting, out, now, pace):
    """The order in which what has not left is gone, and those who are out."""
    under = [
        TimedWalk(
            one.walk.name, left_s(one.walk.expected_s, now - one.begins_s, pace), int(SERVICES[one.walk.service] - now)
        )
        for one in out
    ]
    likely = [
        TimedWalk(one.name, int(one.expected_s * np.exp(pace.bias)), int(SERVICES[one.service] - now))
        for one in waiting
    ]
    shared = share_out(likely, pickers=PICKERS, under_way=under, most_looks=0)
    if shared.latest_s:
        shared = share_out(likely, pickers=PICKERS, under_way=under, most_looks=LOOKS)
    left = {one.name for one in waiting}
    return [turn.walk for turn in shared.turns if turn.walk in left]


def in_two(walk):
    """A walk as two, each with its own way out."""
    lines, orders = len(walk.levels) // 2, walk.orders // 2
    length_mm = WAY_OUT_MM + (walk.length_mm - WAY_OUT_MM) // 2
    first = replace(
        walk, name=f"{walk.name}/1", length_mm=length_mm, levels=walk.levels[:lines], orders=walk.orders - orders
    )
    return first, replace(first, name=f"{walk.name}/2", levels=walk.levels[lines:], orders=orders)


def halve(by_name, waiting, out, now, pace):
    """Halves the waiting walks without which somebody would be late."""
    under = [
        TimedWalk(
            one.walk.name, left_s(one.walk.expected_s, now - one.begins_s, pace), int(SERVICES[one.walk.service] - now)
        )
        for one in out
    ]
    mine = [by_name[name] for name in sorted(waiting)]
    likely = [
        TimedWalk(one.name, int(one.expected_s * np.exp(pace.bias)), int(SERVICES[one.service] - now)) for one in mine
    ]
    extra_s = {one.name: HALVING_S for one in mine if one.orders > 1}
    for name in halve_late(likely, extra_s, pickers=PICKERS, under_way=under):
        halves = in_two(by_name[name])
        by_name |= {half.name: half for half in halves}
        waiting.remove(name)
        waiting |= {half.name for half in halves}


def day(walks, truth, pace, rng, *, ask_at=(), rush_share=0.0, halves=False):
    """What went when; and what was foreseen at the moments asked."""
    went, out, foreseen, replans = [], [], [], []
    free = list(range(PICKERS))
    by_name = {one.name: one for one in walks}
    waiting = {one.name for one in walks if not one.known_s}
    events = [(one.known_s, 1, one.name) for one in walks if one.known_s] + [(at, 2, "") for at in ask_at]
    heapq.heapify(events)
    now = 0.0
    while True:
        while free and waiting:
            before = perf_counter()
            if halves:
                halve(by_name, waiting, out, now, pace)
            name = plan([by_name[one] for one in sorted(waiting)], out, now, pace)[0]
            replans.append(perf_counter() - before)
            waiting.remove(name)
            picker = free.pop(0)
            one = Went(by_name[name], picker, now, now + truth.seconds(by_name[name], picker))
            out.append(one)
            went.append(one)
            heapq.heappush(events, (one.ends_s, 0, name))
        if not events:
            return went, foreseen, replans
        now, kind, name = heapq.heappop(events)
        if kind == 0:
            ended = next(one for one in out if one.walk.name == name)
            out.remove(ended)
            free.append(ended.picker)
        elif kind == 1:
            waiting.add(name)
        else:
            if halves:
                halve(by_name, waiting, out, now, pace)
            order = plan([by_name[one] for one in sorted(waiting)], out, now, pace)
            dues = [
                Due(one.service, one.name, int(SERVICES[one.service] - now), one.orders)
                for one in [*(by_name[name] for name in order), *(one.walk for one in out)]
                if SERVICES[one.service] > now
            ]
            seen = foresee(
                [TimedWalk(name, round(by_name[name].expected_s)) for name in order], dues, pickers=PICKERS, pace=pace,
                rng=rng, under_way=[UnderWay(one.walk.name, one.walk.expected_s, now - one.begins_s) for one in out],
                draws=1000, rush_share=rush_share,
            )  # fmt: skip
            asked = {due.walk for due in dues}
            foreseen += [(one.service, one.chance_late, asked) for one in seen]


def in_simpy(order, truth):
    """When walks end that are gone in this order, by simpy."""
    world = simpy.Environment()
    pickers = simpy.Store(world)
    pickers.items = list(range(PICKERS))
    ends = {}

    def go(one):
        picker = yield pickers.get()
        yield world.timeout(truth.seconds(one, picker))
        ends[one.name] = world.now
        yield pickers.put(picker)

    for one in order:
        world.process(go(one))
    world.run()
    return ends


def main() -> None:
    """Prints the tables."""
    parser = ArgumentParser(description=__doc__)
    parser.add_argument("--days", type=int, default=1000)
    parser.add_argument("--months", type=int, default=1)
    parser.add_argument("--halving", action="store_true", help="also on the days of which the forecast is asked")
    given = parser.parse_args()
    days, months = given.days, given.months
    rng = np.random.default_rng(11)
    people = [(1.0, 0.95), (1.1, 1.08), (0.92, 1.0)]

    ratios = defaultdict(list)
    rush_s = other_s = 0.0
    for _ in range(22):
        went, _, _ = day(walks_of_day(100, rng, rush=0.05), Truth(people, rng), Pace(), rng)
        rush_s += sum(one.ends_s - one.begins_s for one in went if one.walk.known_s)
        other_s += sum(one.ends_s - one.begins_s for one in went if not one.walk.known_s)
        for one in went:
            ratios[f"P{one.picker}"].append((one.ends_s - one.begins_s) / one.walk.expected_s)
    pace, rush_share = learn_pace(ratios), rush_s / other_s
    print(f"learned in 22 days from {sum(map(len, ratios.values()))} walks: {pace}, rush orders {rush_share:.1%}")

    for _ in range(20):
        truth = Truth(people, rng)
        went, _, _ = day(walks_of_day(60, rng, rush=0.0), truth, pace, rng)
        ends = in_simpy([one.walk for one in went], truth)
        if any(abs(ends[one.walk.name] - one.ends_s) > 1e-6 for one in went):
            raise SystemExit("the simulator's day is not simpy's")
    print("20 days without rush orders: equal to simpy's")

    for orders in (80, 100, 120):
        late = total = could = rushed = rushed_late = 0
        of_days = [0, 0, 0]
        longest, halved = 0.0, 0
        busy = []
        for number in range(months * 22):
            rng = np.random.default_rng((orders, number))
            walks = walks_of_day(orders, rng, rush=0.05)
            chance = rng.bit_generator.state
            whole, _, _ = day(walks, Truth(people, rng), pace, rng)
            rng.bit_generator.state = chance
            went, _, replans = day(walks, Truth(people, rng), pace, rng, halves=True)
            longest = max(longest, *replans)
            # What a bound allows is asked of the walks as they were planned: halving makes more work, never less.
            true = [TimedWalk(o.walk.name, int(o.ends_s - o.begins_s), SERVICES[o.walk.service]) for o in whole]
            halved += sum(one.walk.name.endswith("/1") for one in went)
            late_today = sum(one.walk.orders for one in went if one.is_late)
            late += late_today
            total += sum(one.walk.orders for one in went)
            if not least_late_s(true, PICKERS):
                could += 1
                late_whole = sum(one.walk.orders for one in whole if one.is_late)
                of_days = [a + b for a, b in zip(of_days, (late_whole, late_today, orders), strict=True)]
            rushed += sum(one.walk.orders for one in went if one.walk.known_s)
            rushed_late += sum(one.walk.orders for one in went if one.walk.known_s and one.is_late)
            busy.append(sum(one.ends_s - one.begins_s for one in went) / (PICKERS * SERVICES["C"]))
        whole_share, share = (1 - after / max(1, of_days[2]) for after in of_days[:2])
        print(
            f"{months * 22} days of {orders} orders a day: {1 - late / total:.3%} of {total} packages in time, rush"
            f" {rushed - rushed_late} of {rushed}; work {np.mean(busy):.0%} of the hours; {halved} walks halved; a"
            f" bound allows {could} of {months * 22} days, and on these {share:.3%} of {of_days[2]} are in time,"
            f" without halving {whole_share:.3%}; longest new plan {longest:.3f} s"
        )

    said = []
    for _ in range(days):
        walks = walks_of_day(int(rng.integers(100, 175)), rng, rush=0.05)
        went, foreseen, _ = day(
            walks, Truth(people, rng), pace, rng, ask_at=(1, int(rng.uniform(600, 26000))), rush_share=rush_share,
            halves=given.halving,
        )  # fmt: skip
        for service, chance, asked in foreseen:
            is_late = any(one.is_late for one in went if one.walk.service == service and one.walk.name in asked)
            said.append((chance, is_late))
    print(f"{len(said)} service-days foreseen on {days} days:")
    edges = (0, 0.01, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.99, 1.0001)
    for low, high in pairwise(edges):
        of = [(chance, true) for chance, true in said if low <= chance < high]
        if of:
            mean, late = np.mean(of, axis=0)
            print(f"  said {low:.0%} to {min(high, 1):.0%}: {len(of)}, mean {mean:.1%}, late {late:.1%}")
    brier = float(np.mean([(chance - true) ** 2 for chance, true in said]))
    base = float(np.mean([true for _, true in said]))
    print(
        f"Brier score {brier:.4f}; of one who always says {base:.1%}, the share of late ones: {base * (1 - base):.4f}"
    )


if __name__ == "__main__":
    main()
