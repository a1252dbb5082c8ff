"""How long orders take: 100,000 lines in and promised, one keyed order, 10,000 orders by the optimal rule.

Run it: ``python tests/benchmarks/orders.py [orders]``. All content is invented by a fixed rule; every time stands
beside that of the csv module alone on the same file, measured in the same run.
"""

import csv
import resource
import sys
from datetime import UTC, datetime, time
from decimal import Decimal
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import Any

import numpy as np

from fulfil.orders.importing import add_order, import_orders
from fulfil.planning.allocation import Rule
from fulfil.planning.complete_orders import most_complete
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, Side
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.allocating import allocate_open, decided_of, to_plan, write_decided

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
PARTS = 10_000


def fill(shop: Shop) -> None:
    """Parts, a bin each, stock for about nine lines in ten."""
    rng = np.random.default_rng(1)
    with shop.writing() as books:
        books.add(
            [
                Service(
                    code="post",
                    name="Post (invented)",
                    kind=ServiceKind.POSTAL,
                    cut_off=time(16, 30),
                    max_weight_g=Decimal(0),
                )
            ]
        )
        for place in range(PARTS):
            where: dict[str, Any] = {
                "code": f"B-{place:05}",
                "aisle": "1",
                "side": Side.LEFT,
                "section": 1,
                "level": 1,
                "y_mm": place,
            }
            part = Part(number=f"P-{place:05}", description="Invented part", family="part", bulk_volume_mm3=50.0,
                        longest_mm=9, supply=Supply.BUY, price_minor=10, currency="EUR")  # fmt: skip
            books.add([part, Bin(**where, part_number=part.number, pieces=0)])
        stock = [
            bin_move(part_number=f"P-{n:05}", bin_code=f"B-{n:05}", pieces=int(rng.integers(80, 240)),
                       reason="counted",
                       source="invented")
            for n in range(PARTS)
        ]  # fmt: skip
        books.move(stock=stock, at=NOW, person="ann")


def write_orders(path: Path, orders: int) -> None:
    """A file of orders of ten lines each."""
    with path.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out)
        head = "order,received_at,source,name,street,city,country,service,part,pieces"
        writer.writerow(head.split(","))
        for n in range(orders):
            who = [
                f"W-{n:05}",
                f"2026-03-02T0{n % 8}:00:00Z",
                "web",
                f"Invented Person {n}",
                "Street",
                "Town",
                "NA",
                "post",
            ]
            writer.writerows(
                [*who, f"P-{(n * 37 + line * 1013) % PARTS:05}", 5 + (n + line) % 23] for line in range(10)
            )


def main() -> None:
    """Measures and prints."""
    orders = int(sys.argv[1]) if sys.argv[1:] else 10_000
    with TemporaryDirectory() as name, open_shop(Path(name) / "shop.db", create=True) as shop:
        fill(shop)
        path = Path(name) / "orders.csv"
        write_orders(path, orders)
        started = perf_counter()
        with path.open(encoding="utf-8", newline="") as lines:
            rows = sum(1 for _ in csv.reader(lines)) - 1
        reference = perf_counter() - started
        print(f"{rows} lines; the csv module alone {reference:.2f} s")

        def step(what: str, work) -> None:
            wall, processor = perf_counter(), process_time()
            said = work()
            print(f"{what:44} {perf_counter() - wall:7.2f} s, {process_time() - processor:6.2f} s processor  {said}")

        step("import and validate", lambda: f"{len(import_orders(shop, path, at=NOW, person='ann').new)} orders")
        for rule in (Rule.FIRST_COME, Rule.MOST_COMPLETE):
            step(f"allocate and write, {rule}", lambda rule=rule: _allocate(shop, rule))
        step("a keyed order", lambda: _key(shop, 1))
        step("another keyed order", lambda: _key(shop, 2))
    step("10,000 orders, 1 part in 5 scarce, optimum", lambda: _optimum(0.2))
    step("10,000 orders, every part scarce, optimum", lambda: _optimum(1.0))
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def _allocate(shop: Shop, rule: Rule) -> str:
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"allocation_rule": rule.value})])
        open_ = to_plan(books, books.find(Bin))
        allocated = allocate_open(books, open_, cut_offs_of(books, NOW.date()))
        decided = decided_of(open_, allocated)
        write_decided(books, decided, books.worked_out(decided.moves), at=NOW, person="clerk")
    bound = "" if allocated.bound is None else f", at most {allocated.bound}"
    return f"{len(allocated.complete)} complete{bound}"


def _key(shop: Shop, number: int) -> str:
    order = Order(number=f"T-{number}", source="phone", received_at=NOW, name="Invented Caller",
                  street="Lane 3", city="Town",
                  country="NA", service_code="post", currency="EUR")  # fmt: skip
    lines = [
        OrderLine(order_number=order.number, line_no=n, part_number=f"P-{n:05}", pieces=5, unit_price_minor=10)
        for n in range(1, 6)
    ]
    return f"{len(add_order(shop, order, lines, at=NOW, person='ann'))} findings"


def _optimum(scarce: float) -> str:
    rng = np.random.default_rng(1)
    weights = rng.lognormal(0, 1.2, PARTS)
    weights /= weights.sum()
    demands, asked = [], {}
    for _ in range(10_000):
        lines = min(30, 1 + int(rng.lognormal(1.2, 0.8)))
        demand = {
            f"p{part}": int(rng.choice([1, 2, 5, 10, 20, 50, 100])) for part in rng.choice(PARTS, lines, False, weights)
        }
        demands.append(demand)
        for part, n in demand.items():
            asked[part] = asked.get(part, 0) + n
    free = {part: n if rng.random() > scarce else int(n * rng.random()) for part, n in asked.items()}
    found = most_complete(demands, free, [bool(x) for x in rng.random(10_000) < 0.15])
    return f"{len(found.chosen)} complete, at most {found.bound}"


if __name__ == "__main__":
    main()
