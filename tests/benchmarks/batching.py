"""Batching measured: plans against savings and proven bounds, at 100 to 10,000 orders, and on real order days.

Run ``python -m tests.benchmarks.batching hundred|together|days|many|change [options]``. Every figure stands beside its
reference of the same run: the plan by savings alone and the bound. Seconds are wall clock, those of the processor in
brackets.

The shop is invented: ten aisles 2.5 m apart, 50 sections of 0.6 m each, demand falling with the rank of a bin to the
power of 0.8, ranks strewn over the room, 6 lines an order (Poisson, at least one). The real days are eleven trading
days of a non-store retailer (*Online Retail*, D. Chen, UCI Machine Learning Repository, doi 10.24432/C5BW33), read
from where they lie; bins, and the bulk of a piece, are invented by a fixed rule from the code: its SHA-256 digest.
"""

import argparse
import csv
import hashlib
import resource
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import numpy as np

from fulfil.planning.batching import plan_batches
from fulfil.planning.plan import Plan
from fulfil.planning.proving.proof import Proof, prove
from fulfil.planning.walks import Stop
from fulfil.room.block import Block
from tests.benchmarks.splitting import LoadedStop, split_order

ROOM = Block(tuple(2500 * aisle for aisle in range(10)), 30000)
NO_PARTS = {"POST", "M", "DOT", "C2", "D", "S", "BANK", "FEE", "CHARITY", "AMAZONFEE", "CRUK", "PADS", "B"}
CART_ML = 100_000
CART_POSITIONS = 10
SPEED_MM_S, SET_UP_S = 800, 180.0
"""Of minutes: the usual walking speed, and to fetch and return a cart."""


def shop_orders(count: int, seed: int) -> list[list[Stop]]:
    """Invented orders for the room."""
    rng = np.random.default_rng(seed)
    share = 1.0 / np.arange(1, 501) ** 0.8
    bins = rng.permutation(500)
    orders: list[list[Stop]] = []
    for _ in range(count):
        chosen = rng.choice(500, size=max(1, rng.poisson(6)), p=share / share.sum())
        places = sorted({int(bins[rank]) for rank in chosen})
        orders.append([(place // 50, 300 + 600 * (place % 50)) for place in places])
    return orders


def day_orders(path: Path) -> tuple[list[list[Stop]], list[tuple[int, int]], int]:
    """Stops and loads (positions, ml) of a day's orders, the large ones split over carts, and how many were split."""
    lines: dict[str, dict[Stop, int]] = {}
    with path.open(encoding="latin-1", newline="") as opened:
        for row in csv.DictReader(opened):
            pieces = int(row["Quantity"])
            if row["InvoiceNo"].startswith("C") or pieces <= 0 or row["StockCode"] in NO_PARTS:
                continue
            digest = hashlib.sha256(row["StockCode"].encode()).digest()
            stop = (digest[0] % 10, 300 + 600 * (digest[1] % 50))
            volume_ml = pieces * (1 + digest[2] % 100)
            order = lines.setdefault(row["InvoiceNo"], {})
            order[stop] = order.get(stop, 0) + volume_ml
    orders: list[list[Stop]] = []
    loads: list[tuple[int, int]] = []
    split = 0
    for number in sorted(lines):
        # Up the first aisle, down the next.
        walked = sorted(lines[number].items(), key=lambda line: (line[0][0], line[0][1] * (-1) ** line[0][0]))
        loaded: list[LoadedStop] = [(stop, (volume_ml,)) for stop, volume_ml in walked]
        parts = split_order(loaded, capacity=(CART_ML,))
        split += len(parts) > 1
        for part in parts:
            orders.append([stop for stop, _ in part])
            loads.append((1, sum(load[0] for _, load in part)))
    return orders, loads, split


def timed(work: Callable[[], Plan]) -> tuple[Plan, str]:
    """A plan and its seconds, wall and processor."""
    wall, processor = time.perf_counter(), time.process_time()
    plan = work()
    return plan, f"{time.perf_counter() - wall:.2f} ({time.process_time() - processor:.2f}) s"


def proven(plan: Plan, seconds: float) -> tuple[Proof, str]:
    """A proof, whether it closed, and its seconds, wall and processor."""
    wall, processor = time.perf_counter(), time.process_time()
    proof = prove(plan, seconds=seconds)
    spent = f"{time.perf_counter() - wall:.1f} ({time.process_time() - processor:.1f}) s"
    return proof, f"{'closed' if proof.closed else 'open'}, {spent}"


def warm_up() -> None:
    """Compile, or load what is compiled."""
    prove(plan_batches(ROOM, shop_orders(20, 99), capacity=4, effort="quick"), seconds=5)


def hundred(options: argparse.Namespace) -> None:
    """Single runs against the bound: instances by seeds; every run counts."""
    runs = within = 0
    for capacity in options.capacities:
        for instance in range(options.instances):
            orders = shop_orders(options.orders, instance)
            plans = []
            for seed in range(options.seeds):
                plan, spent = timed(
                    partial(plan_batches, ROOM, orders, capacity=capacity, seed=seed, effort=options.effort)
                )
                plans.append((plan, spent))
            best = min((plan for plan, _ in plans), key=lambda plan: plan.length_mm)
            proof, state = proven(best, options.seconds)
            gaps = [100 * (plan.length_mm / proof.bound_mm - 1) for plan, _ in plans]
            runs += len(gaps)
            within += sum(gap <= 3 for gap in gaps) if proof.closed else 0
            print(
                f"{options.orders} orders, cart of {capacity}, instance {instance}: savings "
                f"{100 * (best.start_mm / proof.bound_mm - 1):.2f} %, runs {' '.join(f'{gap:.2f}' for gap in gaps)} % "
                f"above the bound {proof.bound_mm / 1000:.1f} m ({state}); a plan {plans[0][1]}",
                flush=True,
            )
    print(f"{within} of {runs} runs within 3 % of a closed bound")


def together(options: argparse.Namespace) -> None:
    """Plan and proof within ``--seconds`` in all: the proof gets what the plan leaves; one seed for each instance."""
    runs = within = 0
    for capacity in options.capacities:
        for instance in range(options.instances):
            orders = shop_orders(options.orders, instance)
            wall = time.perf_counter()
            plan, spent = timed(partial(plan_batches, ROOM, orders, capacity=capacity, effort=options.effort))
            proof, state = proven(plan, max(0.0, options.seconds - (time.perf_counter() - wall)))
            runs += 1
            within += proof.gap <= 0.01
            all_s = time.perf_counter() - wall
            print(
                f"{options.orders} orders, cart of {capacity}, instance {instance}: "
                f"plan {plan.length_mm / 1000:.1f} m, {spent}; bound {proof.bound_mm / 1000:.1f} m ({state}); "
                f"gap {100 * proof.gap:.2f} %, {all_s:.1f} s in all",
                flush=True,
            )
    print(f"{within} of {runs} within 1 %")


def days(options: argparse.Namespace) -> None:
    """Real order days, cart by positions and volume."""
    for path in sorted(options.folder.glob("2011-*.csv")):
        orders, loads, split = day_orders(path)
        plan, spent = timed(
            lambda orders=orders, loads=loads: plan_batches(
                ROOM,
                orders,
                capacity=(CART_POSITIONS, CART_ML),
                weights=loads,
                effort=options.effort,
                set_up_mm=round(options.set_up_s * SPEED_MM_S),
            )
        )
        proof, state = proven(plan, options.seconds)
        minutes = (plan.length_mm / SPEED_MM_S + (options.set_up_s or SET_UP_S) * len(plan.batches)) / 60
        print(
            f"{path.stem}: {len(orders)} parts of orders ({split} split), "
            f"one by one {plan.one_by_one_mm / 1000:.0f} m, savings {plan.start_mm / 1000:.0f} m, "
            f"plan {plan.length_mm / 1000:.0f} m in {len(plan.batches)} walks, "
            f"{minutes:.1f} min with {options.set_up_s or SET_UP_S:.0f} s a walk, {spent}; "
            f"bound {proof.bound_mm / 1000:.0f} m ({state}), gap {100 * proof.gap:.2f} %",
            flush=True,
        )


def many(options: argparse.Namespace) -> None:
    """A thousand and more orders against savings alone."""
    for count in options.counts:
        orders = shop_orders(count, 0)
        savings, savings_spent = timed(lambda orders=orders: plan_batches(ROOM, orders, capacity=8, effort="none"))
        plan, spent = timed(lambda orders=orders: plan_batches(ROOM, orders, capacity=8, effort=options.effort))
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"{count} orders: savings {savings.length_mm / 1000:.0f} m, {savings_spent}; "
            f"plan {plan.length_mm / 1000:.0f} m, {100 * (1 - plan.length_mm / savings.length_mm):.2f} % less, "
            f"{spent}; peak {memory:.0f} MB",
            flush=True,
        )


def change(options: argparse.Namespace) -> None:
    """One order changed, two carts on their way: planned again from the morning's plan."""
    orders = shop_orders(options.orders, 0)
    morning = plan_batches(ROOM, orders, capacity=8)
    changed = [*orders[:-1], shop_orders(1, 77)[0]]
    plan, spent = timed(
        lambda: plan_batches(
            ROOM, changed, capacity=8, fixed=morning.batches[:2], start=morning.batches[2:], effort="quick"
        )
    )
    print(f"morning {morning.length_mm / 1000:.1f} m; with a changed order {plan.length_mm / 1000:.1f} m, {spent}")


def main(arguments: Sequence[str] | None = None) -> None:
    """Choose what to measure."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.batching", description=__doc__)
    parser.add_argument("what", choices=["hundred", "together", "days", "many", "change"])
    parser.add_argument("--effort", default="normal")
    parser.add_argument("--seconds", type=float, default=60.0, help="for one bound; plan and bound in all for together")
    parser.add_argument("--orders", type=int, default=100)
    parser.add_argument("--instances", type=int, default=10)
    parser.add_argument("--seeds", type=int, default=3)
    parser.add_argument("--capacities", type=int, nargs="+", default=[8])
    parser.add_argument("--counts", type=int, nargs="+", default=[1000, 10000])
    parser.add_argument("--folder", type=Path, default=Path(__file__).parents[3] / "shared" / "open-orders")
    parser.add_argument("--set-up-s", type=float, default=0.0, help="days: seconds that a walk costs in the search")
    options = parser.parse_args(arguments)
    warm_up()
    {"hundred": hundred, "together": together, "days": days, "many": many, "change": change}[options.what](options)


if __name__ == "__main__":
    main()
