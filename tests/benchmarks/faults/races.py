"""Twenty processes at one shop, all after the same bags: exactly one winner each, and nobody hears of a database.

    python -m tests.benchmarks.faults.races --seconds 120 [--processes 20] [--store postgresql]

Each process has the shop opened for itself and does, as fast as it can and by its own chance: pass a bag, take a
verdict back, receive one piece, key an order, look at a list. At the end the sums of what they were told are held
against the books: of each bag, verdicts less those taken back are what its state says; pieces received are in the bin;
orders have numbers of their own; both books add up and the chain holds. Printed are acts, waits and refusals by kind.
"""

import argparse
import multiprocessing
import random
import re
import time
from collections import Counter
from dataclasses import dataclass, field
from multiprocessing.synchronize import Barrier
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

from fulfil.bench.check import Seen, check_bag, undo_check
from fulfil.errors import Refusal, StoreRefused
from fulfil.orders.importing import add_order
from fulfil.orders.verify import verify_shop
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import StockMove
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState
from fulfil.stock.levels import receive
from fulfil.store.safe.archive import export_shop, import_shop
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop

BIN = "01L-01-1"
DATABASE_WORDS = re.compile(r"sql|database|transaction|deadlock|constraint|locked|psycopg|serializ", re.IGNORECASE)


@dataclass
class Told:
    """What one process was told: net passes by bag, pieces received, orders keyed, waits, refusals."""

    passes: Counter[str] = field(default_factory=Counter)
    received: int = 0
    orders: list[str] = field(default_factory=list)
    ended: Counter[str] = field(default_factory=Counter)
    waits_s: list[float] = field(default_factory=list)
    odd: list[str] = field(default_factory=list)


def work(where: str, name: int, seconds: float, start: Barrier, answers: "multiprocessing.Queue[Told]") -> None:
    """One process, from when all are there until the time is over."""
    chance, told, number = random.Random(name), Told(), 0
    with open_shop(where) as shop:
        with shop.reading() as books:
            bags = {bag.code: bag for bag in books.find(Bag) if bag.target_g is not None}
        codes = sorted(bags)
        start.wait()
        until = time.time() + seconds
        while time.time() < until:
            act = chance.choices(["pass", "undo", "receive", "key", "look"], [6, 3, 2, 1, 2])[0]
            began = time.perf_counter()
            try:
                if act == "key":
                    number += 1
                    _key(shop, f"R{name:02d}-{number}")
                    told.orders.append(f"R{name:02d}-{number}")
                else:
                    _do(shop, act, bags[chance.choice(codes[:40])], f"p{name}", told)
                told.ended[act] += 1
            except Refusal as refused:
                kind = "no free moment" if isinstance(refused, StoreRefused) else "refused"
                told.ended[kind] += 1
                if DATABASE_WORDS.search(str(refused).replace(shop.where, "")):
                    told.odd.append(str(refused)[:200])
            except Exception as trouble:
                told.odd.append(f"{type(trouble).__name__}: {str(trouble)[:200]}")
            told.waits_s.append(time.perf_counter() - began)
    answers.put(told)


def _do(shop: Shop, act: str, bag: Bag, person: str, told: Told) -> None:
    if act == "pass":
        done = check_bag(shop, bag.code, Seen(gross_g=bag.target_g, scale_code=bag.scale_code), at=AT, person=person)
        told.passes[bag.code] += done.verdict.verdict.value == "passed"
    elif act == "undo":
        with shop.writing() as books:
            undo_check(books, bag.code, at=AT, person=person)
        told.passes[bag.code] -= 1
    elif act == "receive":
        receive(shop, BIN, 1, "a note", at=AT, person=person)
        told.received += 1
    else:
        with shop.reading() as books:
            books.count(Order)
            books.find(Bag, state=BagState.PASSED)


def _key(shop: Shop, number: str) -> None:
    order = Order(number=number, source="web", received_at=AT, name="Invented Person", street="Sample Street 1",
                  city="Sampletown", country="NA", service_code="ROAD", currency="EUR")  # fmt: skip
    line = OrderLine(order_number=number, line_no=1, part_number="SCR-0001", pieces=1, unit_price_minor=5)
    assert add_order(shop, order, [line], at=AT, person="clerk") == []


def main() -> int:
    """Races, and says who won."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--processes", type=int, default=20)
    parser.add_argument("--store", choices=("sqlite", "postgresql"), default="sqlite")
    given = parser.parse_args()
    with TemporaryDirectory() as folder:
        path = Path(folder) / "shop.sqlite"
        bench_shop(path, orders=12, bags=6)
        where = str(path)
        if given.store == "postgresql":
            from tests.on_postgresql import databases

            export_shop(where, Path(folder) / "shop.zip")
            databases().make("races", like="template0")
            where = databases().url("races").render_as_string(hide_password=False)
            import_shop(Path(folder) / "shop.zip", where)
        context = multiprocessing.get_context("fork")  # nothing is open here; twenty imports would take a minute
        answers: multiprocessing.Queue[Told] = context.Queue()
        with open_shop(where) as shop, shop.reading() as books:
            level = books.need(Bin, BIN).pieces
        start = context.Barrier(given.processes)
        running = [
            context.Process(target=work, args=(where, n, given.seconds, start, answers)) for n in range(given.processes)
        ]
        for one in running:
            one.start()
        told = [answers.get(timeout=given.seconds + 300) for _ in running]
        for one in running:
            one.join()
        return _held_against(where, told, level, given.store)


def _held_against(where: str, told: list[Told], level: int, store: str) -> int:
    net: Counter[str] = Counter()
    ended: Counter[str] = Counter()
    wrong = []
    for one in told:
        net.update(one.passes)
        ended.update(one.ended)
        wrong += one.odd
    with open_shop(where) as shop:
        with shop.reading() as books:
            for bag in books.find(Bag):
                if net[bag.code] != (bag.state is BagState.PASSED):
                    wrong.append(f"bag {bag.code}: told {net[bag.code]}, is {bag.state}")
            now = books.need(Bin, BIN).pieces
            orders = {order.number for order in books.find(Order)}
            came = sum(one.pieces for one in books.find(StockMove, to_ref=BIN, source="a note"))
        if came != sum(one.received for one in told):
            wrong.append(f"{sum(one.received for one in told)} pieces were received, the ledger has {came}")
        wrong += [str(one) for one in verify_shop(shop)]
    lost = [number for one in told for number in one.orders if number not in orders]
    wrong += [f"order {number} was keyed and is gone" for number in lost]
    waits = sorted(1000 * wait for one in told for wait in one.waits_s)
    print(
        f"{store}, {len(told)} processes: {sum(ended.values()):,} acts {dict(sorted(ended.items()))}; "
        f"wait median {median(waits):.0f} ms, 99th percentile {quantiles(waits, n=100)[98]:.0f} ms, "
        f"longest {waits[-1]:.0f} ms; bin {level} → {now}, {sum(one.received for one in told)} received; "
        f"wrong: {len(wrong)} {wrong[:5]}"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
