"""How long a bench waits while a day is planned and released: weighings beside the planner, from another process.

    python -m tests.benchmarks.age.many_hands [--orders 150] [--effort thorough]

A bench of its own weighs a bag twenty times a second, on walks that are on paper, while 150 more orders of the invented
demo shop are planned and released. Printed are the median, the 99th percentile and the longest wait of a weighing,
beside the same weighings in a quiet shop, measured in the same run; and how long the lock was held at most.
"""

import argparse
import multiprocessing
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing.synchronize import Event as Flag
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.demo_day import DAY, morning

from fulfil.bench.check import Seen, check_bag
from fulfil.orders.importing import add_order, import_orders
from fulfil.records.order import Order, OrderLine
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.books import Books
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks

AT = morning(DAY)
FIRST = 80
"""Orders that are on paper before, for the bench to weigh: its bags must last longer than the plan takes."""
PAUSE_S = 0.05


def fill(shop: Shop, folder: Path, orders: int) -> None:
    """The demo shop; some of its orders are on paper, and ``orders`` wait for a plan (its own, then copies of them)."""
    import_catalogue(shop, FOLDER, at=AT, person="clerk")
    import_orders(shop, FOLDER / "orders.csv", at=AT, person="clerk")
    with shop.reading() as books:
        taken = [(order, books.find(OrderLine, order_number=order.number)) for order in books.find(Order)]
    first = [order.number for order, _ in taken[:FIRST]]
    plan_day(shop, day=DAY, at=AT, person="planner", effort="quick", only=first)
    release_walks(shop, [], folder / "papers", at=AT, person="planner")
    missing = orders - (len(taken) - FIRST)
    for place in range(max(0, missing)):
        order, lines = taken[place % len(taken)]
        number = f"{order.number}-COPY-{place}"
        renamed = [line.model_copy(update={"order_number": number}) for line in lines]
        add_order(shop, order.model_copy(update={"number": number}), renamed, at=AT, person="clerk")


def weigh(path: Path, ready: Flag, done: Flag, waits: "multiprocessing.Queue[list[float]]") -> None:
    """Weighs bag after bag until it is told to stop; who ran out of bags before has not seen the lock, and says so."""
    taken: list[float] = []
    with open_shop(path) as shop:
        with shop.reading() as books:
            walks = {walk.number for walk in books.find(WalkRecord) if walk.released_at is not None}
            bags = [bag for bag in books.find(Bag, state=BagState.PLANNED) if bag.walk_number in walks]
            bags = [bag for bag in bags if bag.target_g is not None and bag.pours == 1]
        ready.set()
        for bag in bags:
            if done.is_set():
                break
            began = time.perf_counter()
            check_bag(shop, bag.code, Seen(gross_g=bag.target_g, scale_code=bag.scale_code), at=AT, person="checker")
            taken.append(time.perf_counter() - began)
            time.sleep(PAUSE_S)
        else:
            print(f"the bench ran out of its {len(bags)} bags: what follows is no measurement", flush=True)
    waits.put(taken)


@contextmanager
def bench_beside(path: Path, name: str) -> Iterator[None]:
    """A bench weighs in another process; what it waited is printed at the end."""
    context = multiprocessing.get_context("spawn")
    ready, done, waits = context.Event(), context.Event(), context.Queue()
    bench = context.Process(target=weigh, args=(path, ready, done, waits))
    bench.start()
    ready.wait()
    yield
    done.set()
    taken = [1000 * one for one in waits.get(timeout=60)]
    bench.join()
    if len(taken) < 2:
        print(f"{name}: too short to measure")
        return
    print(
        f"{name}: {len(taken)} weighings, median {median(taken):.0f} ms, "
        f"99th percentile {quantiles(taken, n=100)[98]:.0f} ms, longest {max(taken):.0f} ms"
    )


@dataclass(frozen=True)
class Hold:
    """How long a writing transaction held the lock by the clock, and how much of the processor it took meanwhile."""

    wall_s: float
    cpu_s: float

    def __str__(self) -> str:
        return f"{self.wall_s:.2f} s, {self.cpu_s:.3f} s of the processor"


@contextmanager
def held(shop: Shop) -> Iterator[list[Hold]]:
    """How long each writing transaction of a shop holds the lock."""
    holds: list[Hold] = []
    writing = shop.writing

    @contextmanager
    def timed(*, is_preview: bool = False) -> Iterator[Books]:
        with writing(is_preview=is_preview) as books:
            wall, cpu = time.perf_counter(), time.process_time()
            yield books
        holds.append(Hold(time.perf_counter() - wall, time.process_time() - cpu))

    shop.writing = timed  # type: ignore[method-assign]
    yield holds
    shop.writing = writing  # type: ignore[method-assign]


def longest(holds: list[Hold]) -> Hold:
    """The one that others waited for longest."""
    return max(holds, key=lambda hold: hold.wall_s)


def main() -> int:
    """Measures and prints."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--orders", type=int, default=150)
    parser.add_argument("--effort", default="thorough")
    parser.add_argument("--at", type=Path, default=None, help="where the shop goes; else a temporary folder")
    given = parser.parse_args()
    with TemporaryDirectory(dir=given.at) as folder:
        path = Path(folder) / "shop.sqlite"
        with open_shop(path, create=True) as shop:
            fill(shop, Path(folder), given.orders)
            with bench_beside(path, "quiet"):
                time.sleep(5)
            with held(shop) as holds, bench_beside(path, "beside the plan"):
                began = time.perf_counter()
                planned, _ = plan_day(shop, day=DAY, at=AT, person="planner", effort=given.effort)
                took = time.perf_counter() - began
            print(f"plan of {given.orders} orders, {planned.bags} bags: {took:.1f} s, of which with the lock "
                  f"{longest(holds)}")  # fmt: skip
            with held(shop) as holds, bench_beside(path, "beside the release"):
                began = time.perf_counter()
                papers = release_walks(shop, [], Path(folder) / "papers", at=AT, person="planner")
                took = time.perf_counter() - began
            print(
                f"release with {len(papers)} papers: {took:.1f} s, of which with the lock {longest(holds)}; "
                f"load {os.getloadavg()[0]:.0f}"
            )
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
