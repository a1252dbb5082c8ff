"""What narrow aisles cost: people who wait for each other where two carts can't pass, and what helps against it.

``python -m tests.benchmarks.people.congestion [--instances 4] [--days 25]``

The shop is that of :mod:`tests.benchmarks.batching`: ten aisles, 100 invented orders, carts of 8, walks by a quick
search. One cart at a time is in an aisle (simpy, a discrete event library from PyPI); whoever comes to an aisle in use
waits at its end. A stop takes its settings' time times a gamma-distributed factor of mean 1 (s.d. 0.5), one draw for
each stop, the same draws for every rule, so rules differ by themselves and not by luck.

Rules: all begin at once; each begins so many seconds after the one before; every second picker goes walks the other way
round, which is as short; both. Waiting is minutes of all people together; *later* is how much later the last walk ends
than without narrow aisles, the late beginning counted in.

>>> there = [Visit(10, 1, 80, 0), Visit(0, -1, 0, 0)]
>>> waits = went([[there], [there]], [[[1.0]], [[1.0]]], begins_s=[0, 0], is_narrow=True)
>>> waits  # Both stand before aisle 1 at 10 s; one is in it for 80 s and waits for nobody.
(80.0, 170.0)
>>> went([[there], [there]], [[[1.0]], [[1.0]]], begins_s=[0, 80], is_narrow=True)
(0.0, 170.0)
"""

from argparse import ArgumentParser
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
import simpy

from fulfil.planning.batching import plan_batches
from fulfil.room.time_model import TimeModel
from fulfil.room.walk import Walk
from tests.benchmarks.batching import ROOM, shop_orders

MODEL = TimeModel(count_s=25.0)
STOP_S = MODEL.reach_s[1] + MODEL.search_s + MODEL.count_s
CART = 8
STAGGERS = (60, 180, 360)


class Visit(NamedTuple):
    """The way to an aisle and its time, the aisle (-1: none, the way home), seconds of walking in it, its stops."""

    way_s: float
    aisle: int
    walk_s: float
    stops: int


def visits_of(walk: Walk) -> list[Visit]:
    """A walk as visits to aisles, its set-up before the first; a stop is served when it is first come past."""
    aisle_of = {x_mm: aisle for aisle, x_mm in enumerate(ROOM.aisle_x_mm)}
    left = {ROOM.point_mm(stop) for stop in walk.stops}
    visits: list[Visit] = []
    way_mm = inside_mm = stops = 0
    aisle = -1
    for (x_mm, y_mm), (to_x_mm, to_y_mm) in zip(walk.path, walk.path[1:], strict=False):
        if x_mm != to_x_mm:
            if aisle >= 0:
                visits.append(Visit(way_mm / MODEL.speed_mm_s, aisle, inside_mm / MODEL.speed_mm_s, stops))
                way_mm = inside_mm = stops = 0
                aisle = -1
            way_mm += abs(to_x_mm - x_mm)
            continue
        aisle = aisle_of[x_mm]
        inside_mm += abs(to_y_mm - y_mm)
        low, high = sorted((y_mm, to_y_mm))
        met = {point for point in left if point[0] == x_mm and low <= point[1] <= high}
        stops += len(met)
        left -= met
    if aisle >= 0:
        visits.append(Visit(way_mm / MODEL.speed_mm_s, aisle, inside_mm / MODEL.speed_mm_s, stops))
        way_mm = 0
    first, *others = [*visits, Visit(way_mm / MODEL.speed_mm_s, -1, 0.0, 0)]
    return [first._replace(way_s=first.way_s + MODEL.set_up_s), *others]


def went(
    walks_of: Sequence[Sequence[Sequence[Visit]]],
    factors_of: Sequence[Sequence[Sequence[float]]],
    *,
    begins_s: Sequence[float],
    is_narrow: bool,
) -> tuple[float, float]:
    """Seconds that all pickers waited in sum, and when the last walk ended.

    ``walks_of`` are each picker's walks, ``factors_of`` for each of them a factor for each visit's stops.
    """
    world = simpy.Environment()
    aisles = [simpy.Resource(world, capacity=1 if is_narrow else 1000) for _ in ROOM.aisle_x_mm]
    waited = [0.0]

    def picker(walks: Any, factors: Any, begins: float) -> Any:
        yield world.timeout(begins)
        for walk, its in zip(walks, factors, strict=True):
            for number, visit in enumerate(walk):
                yield world.timeout(visit.way_s)
                if visit.aisle < 0:
                    continue
                came = world.now
                with aisles[visit.aisle].request() as turn:
                    yield turn
                    waited[0] += world.now - came
                    yield world.timeout(visit.walk_s + visit.stops * STOP_S * its[number])

    for walks, factors, begins in zip(walks_of, factors_of, begins_s, strict=True):
        world.process(picker(walks, factors, begins))
    world.run()
    return waited[0], world.now


def main() -> None:
    """Print a table for two, three and four people."""
    asked = ArgumentParser()
    asked.add_argument("--instances", type=int, default=4)
    asked.add_argument("--days", type=int, default=25)
    options = asked.parse_args()
    plans = []
    for instance in range(options.instances):
        orders = shop_orders(100, instance)
        plan = plan_batches(ROOM, orders, capacity=CART, effort="quick")
        tours = [ROOM.shortest_walk([stop for order in batch for stop in orders[order]]) for batch in plan.batches]
        plans.append(
            [(visits_of(tour), visits_of(Walk(tour.length_mm, tour.stops, tour.path[::-1], 0))) for tour in tours]
        )
    rules = [(0, False), *((stagger, False) for stagger in STAGGERS), (0, True), (60, True)]
    for pickers in (2, 3, 4):
        figures: dict[tuple[int, bool], list[tuple[float, float, float]]] = {rule: [] for rule in rules}
        for instance, walks in enumerate(plans):
            for day in range(options.days):
                rng = np.random.default_rng([instance, day])
                factors = [rng.gamma(4, 1 / 4, size=20).tolist() for _ in walks]
                mine = [range(picker, len(walks), pickers) for picker in range(pickers)]
                for stagger, is_turned in rules:
                    begins = [stagger * picker for picker in range(pickers)]
                    gone = [[walks[n][is_turned and picker % 2] for n in its] for picker, its in enumerate(mine)]
                    drawn = [[factors[n] for n in its] for its in mine]
                    waited, ended = went(gone, drawn, begins_s=begins, is_narrow=True)
                    _, free = went(gone, drawn, begins_s=[0] * pickers, is_narrow=False)
                    figures[stagger, is_turned].append((waited, ended - free, free))
        for (stagger, is_turned), rows in figures.items():
            waited, later, free = (float(mean) for mean in np.mean(rows, axis=0))
            error = float(np.std([row[1] for row in rows])) / len(rows) ** 0.5
            print(
                f"{pickers} people, {stagger} s apart{', every second the other way' if is_turned else ''}: "
                f"wait {waited / 60:.1f} min in all, {100 * waited / (pickers * free):.1f} % of their time; "
                f"later {later / 60:.1f} ± {error / 60:.1f} min of {free / 60:.0f}",
                flush=True,
            )


if __name__ == "__main__":
    main()
