"""Batches in rooms of several blocks and odd ones: seconds, and against the same walks measured one by one.

Run: python -m tests.benchmarks.rooms [--proof-seconds 60]

Every figure is measured in the same run as its reference; rooms and orders are invented and seeded.
"""

import argparse
import time

import numpy as np

from fulfil.planning.people import TimedWalk, share_out
from fulfil.planning.proving.proof import prove
from fulfil.room.blocks import Blocks
from fulfil.walks.rooms import batches_in

AISLES = tuple(range(0, 25000, 2500))
ORDERS, CAPACITY, SECTION_MM = 100, 8, 600


def random_orders(rng, crossings):
    """About six lines an order, uniform over the sections of ten aisles; 10 m between cross aisles."""
    sections = 10000 * (crossings - 1) // SECTION_MM
    return [
        [(int(rng.integers(10)), int(rng.integers(1, sections)) * SECTION_MM) for _ in range(int(rng.integers(1, 12)))]
        for _ in range(ORDERS)
    ]


def measured(room, orders):
    """Compiled against the room's own method, thirty stops a walk, and whether they agree."""
    stops = [stop for order in orders for stop in order]
    walks = [stops[at : at + 30] for at in range(0, len(stops) - 30, 7)]
    compiled = room.evaluator(walks)
    compiled.length([0]), room.walk_length_mm(walks[0])
    # The least of several rounds: what else the machine does must not count.
    fast = slow = float("inf")
    for _ in range(5):
        start = time.perf_counter()
        lengths = [compiled.walk(row, compiled.geometry) for row in compiled.occupancy]
        fast = min(fast, (time.perf_counter() - start) / len(walks))
        start = time.perf_counter()
        reference = [room.walk_length_mm(walk) for walk in walks]
        slow = min(slow, (time.perf_counter() - start) / len(walks))
    assert lengths == reference
    print(
        f"  30 stops: {fast * 1e6:.1f} µs compiled, {slow * 1e6:.0f} µs by the room, {slow / fast:.0f} times; equal on "
        f"{len(walks)} of {len(walks)}"
    )


def planned(room, orders, proof_seconds):
    """A plan of the day by the usual effort, its bound, and the plan by savings alone."""
    start = time.perf_counter()
    plan = batches_in(room, orders, capacity=CAPACITY, weights=[1] * len(orders))
    seconds = time.perf_counter() - start
    start = time.perf_counter()
    proof = prove(plan, seconds=proof_seconds)
    print(
        f"  {ORDERS} orders, {CAPACITY} a cart: {plan.length_mm / 1000:.1f} m in {seconds:.1f} s (savings alone, both "
        f"ways open: {plan.start_mm / 1000:.1f} m; one by one {plan.one_by_one_mm / 1000:.1f} m); "
        f"bound {proof.bound_mm / 1000:.1f} m "
        f"({'closed' if proof.closed else 'open'}), gap {proof.gap:.2%}, {time.perf_counter() - start:.0f} s"
    )


def shared(rng):
    """Twenty walks over three people, with cut-offs: exact or not, and how far from the bound."""
    for count in (8, 12, 16, 20):
        walks = [
            TimedWalk(f"W{number}", int(rng.integers(600, 3600)), int(rng.choice([7200, 10800, 21600])))
            for number in range(count)
        ]
        start = time.perf_counter()
        done = share_out(walks, pickers=3)
        print(
            f"  {count} walks, 3 people: {time.perf_counter() - start:.2f} s, "
            f"done {done.ends_s} s (bound {done.bound_s}), "
            f"latest {done.latest_s} s (bound {done.latest_bound_s}), {'exact' if done.is_proven else 'not proven'}"
        )


def main():
    """Print every figure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--proof-seconds", type=float, default=60.0)
    proof_seconds = parser.parse_args().proof_seconds
    for crossings in (3, 4):
        rng = np.random.default_rng(crossings)
        room = Blocks(AISLES, tuple(range(0, 10000 * crossings, 10000)), (0, 0))
        orders = random_orders(rng, crossings)
        print(f"{crossings} cross aisles")
        measured(room, orders)
        planned(room, orders, proof_seconds)
    print("3 cross aisles, two one-way aisles")
    rng = np.random.default_rng(3)
    room = Blocks(AISLES, (0, 10000, 20000), (0, 0), one_way=((3, 1), (6, -1)))
    planned(room, random_orders(rng, 3), proof_seconds)
    print("people")
    shared(np.random.default_rng(9))


if __name__ == "__main__":
    main()
