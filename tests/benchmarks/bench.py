"""From scan to verdict at the check bench, with 10,000 parts and 100,000 weighings behind it; boxes for 100 orders.

Run ``python tests/benchmarks/bench.py``: it makes an invented shop of 10,000 parts in a temporary folder, fills its
books with bags that were weighed before, and times each line at the bench, the failing ones (which ask for likely
causes) apart. The yardstick of the same run is one writing transaction with nothing in it but a journal entry.
"""

import statistics
import sys
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from fulfil.bench.check_station import CheckBench
from fulfil.planning.boxes.cartons import Packed, box_bags
from fulfil.records.equipment import BoxType
from fulfil.records.happening import Happening
from fulfil.records.part import Part, UnitWeight
from fulfil.records.plan import Bag
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import bench_shop

PARTS, PAST = 10_000, 100_000
AT = datetime(2026, 3, 2, 8, tzinfo=UTC)


def milliseconds(work: list[float]) -> str:
    """Median, 99th percentile and largest."""
    ordered = sorted(1000 * each for each in work)
    high = ordered[min(len(ordered) - 1, int(0.99 * len(ordered)))]
    return f"median {statistics.median(ordered):.1f}  p99 {high:.1f}  most {ordered[-1]:.1f} ms  (n = {len(ordered)})"


def fill(shop: Shop) -> None:
    """Weighings and journal entries of the past."""
    with shop.writing() as books:
        numbers = [part.number for part in books.find(Part)]
        for start in range(0, PAST, 10_000):
            some = range(start, start + 10_000)
            books.add(
                WeighingRecord(
                    at=AT - timedelta(minutes=one), person="past", scale_code="FINE-1", kind=WeighedKind.BAG,
                    subject=f"B{one:09d}", part_number=numbers[one % len(numbers)], pieces=50,
                    indication_g=Decimal("47.100"), verdict=Verdict.PASSED,
                )
                for one in some
            )  # fmt: skip
            for one in some:
                if one % 10 == 0:
                    books.journal(at=AT, person="past", event=Happening.BAG_CHECKED, subject=f"B{one:09d}")


def time_bench(shop: Shop, found: dict[str, list[str]]) -> None:
    """Every bag: scan, weight (the first of every tenth bag is one piece short), look."""
    bench = CheckBench(shop, "check-1", person="anna")
    began = perf_counter()
    bench.open()
    print(f"open the bench (look-alike index): {perf_counter() - began:.2f} s")
    with shop.reading() as books:
        bags = {bag.code: bag for bag in books.find(Bag)}
        units = {weight.part_number: weight.mean_g for weight in books.find(UnitWeight)}
    times: dict[str, list[float]] = {"scan": [], "right weight": [], "wrong weight": [], "count or look": []}

    def enter(kind: str, line: str) -> None:
        began = perf_counter()
        bench.enter(line, at=AT)
        times[kind].append(perf_counter() - began)

    for codes in found.values():
        for place, code in enumerate(codes):
            bag = bags[code]
            enter("scan", code)
            if bag.target_g is None:
                enter("count or look", str(bag.pieces))
            elif place % 10 == 0:
                enter("wrong weight", f"{bag.target_g - round(Decimal(units[bag.part_number]), 2):.2f}")
            else:
                enter("right weight", f"{bag.target_g:.2f}")
            if bench.state.bag is not None:
                enter("count or look", "ok")
    for kind, work in times.items():
        print(f"{kind:>14}: {milliseconds(work)}, the first {1000 * work[0]:.1f} ms")


def time_boxes(shop: Shop) -> None:
    """Boxes for 100 orders of 6 bags and for one of 60."""
    with shop.reading() as books:
        boxes = books.find(BoxType)
    orders = [
        [Packed(f"B{n}-{k}", 1000.0 * (n % 17 + 5 * k + 20), 10.0 * (n + k), (10 + n % 90, 10, 5)) for k in range(6)]
        for n in range(1, 101)
    ]
    began = perf_counter()
    plans = [box_bags(order, boxes, most_gross_g=2000) for order in orders]
    proven = sum(plan.is_proven for plan in plans)
    print(f"boxes for 100 orders: {perf_counter() - began:.3f} s, {proven} proven fewest")
    began = perf_counter()
    plan = box_bags([bag for order in orders[:10] for bag in order], boxes, most_gross_g=2000)
    print(f"one order of 60 bags: {perf_counter() - began:.3f} s, {len(plan.boxes)} boxes, at least {plan.fewest}")


def main() -> int:
    """Runs all of it."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "shop.sqlite"
        found = bench_shop(path, orders=50, bags=6, part_count=PARTS)
        with open_shop(path) as shop:
            fill(shop)
            with shop.reading() as books:
                print(f"{books.count(Part)} parts, {books.count(WeighingRecord)} weighings")
            yardstick = []
            for _ in range(100):
                began = perf_counter()
                with shop.writing() as books:
                    books.journal(at=AT, person="clock", event=Happening.BAG_BOXED, subject="none")
                yardstick.append(perf_counter() - began)
            print(f"     yardstick: {milliseconds(yardstick)}")
            time_bench(shop, found)
            time_boxes(shop)
    return 0


if __name__ == "__main__":
    sys.exit(main())
