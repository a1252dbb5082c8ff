"""Eleven days of real orders through a saved mapping, into stock, through allocation: what comes in, and how fast.

Run it: ``python tests/benchmarks/real_week.py [folder]``. The orders are *Online Retail* (D. Chen, UCI Machine Learning
Repository, doi 10.24432/C5BW33; Chen, Sain & Guo, J. Database Marketing & Customer Strategy Management 19, 2012, 197),
7 to 18 November 2011. Weights, bins and stock are invented by a fixed rule from each code; the goods are no small
parts.
"""

import csv
import resource
import sys
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from datetime import UTC, datetime, time
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time
from typing import Any

from fulfil.orders.extras import explain_country, keep_mapping
from fulfil.orders.importing import OrdersImport, import_orders
from fulfil.planning.allocation import Rule
from fulfil.records.despatch.goods_back import ReturnMatch, ReturnNotice
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_charge import OrderCharge
from fulfil.records.order_mapping import OrderMapping
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, Side
from fulfil.records.settings import Settings
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.allocating import allocate_open, decided_of, to_plan, write_decided

FOLDER = Path(__file__).parents[3] / "shared" / "open-orders"
NOW = datetime(2011, 11, 19, 8, tzinfo=UTC)
NO_PARTS = ("POST", "M", "DOT", "C2", "D", "S", "BANK CHARGES", "FEE", "CHARITY")
COUNTRIES = {"EIRE": "IE", "Channel Islands": "GG", "Unspecified": "GB"}
MAPPING = OrderMapping(
    source="old-shop",
    time_zone="Europe/London",
    columns={
        "order": "InvoiceNo",
        "received_at": "InvoiceDate",
        "part": "StockCode",
        "pieces": "Quantity",
        "unit_price": "UnitPrice",
        "country": "Country",
    },
    fixed={
        "name": "Customer {CustomerID|(not given)}",
        "street": "not in the file",
        "city": "not in the file",
        "service": "post",
        "currency": "GBP",
    },
    return_prefix="C",
    charge_codes=NO_PARTS,
    merges_repeated=True,
    first_row_holds=("received_at",),
)


@dataclass
class Told:
    """What the files say, counted by a plain reader: pieces and money by kind of row."""

    pieces: Counter[str] = field(default_factory=Counter)
    pounds: dict[str, Decimal] = field(default_factory=lambda: defaultdict(Decimal))
    rows: int = 0


def files(folder: Path = FOLDER) -> list[Path]:
    """The days, in their order."""
    return sorted(folder.glob("2011-*.csv"))


def told(paths: list[Path]) -> Told:
    """The sums of the files, read without fulfil."""
    sums = Told()
    for path in paths:
        with path.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                sums.rows += 1
                n = int(row["Quantity"])
                is_back = row["InvoiceNo"].startswith("C") or n < 0
                kind = "charges" if row["StockCode"] in NO_PARTS else "returns" if is_back else "orders"
                sums.pieces[kind] += abs(n) if kind == "returns" else n
                sums.pounds[kind] += Decimal(row["UnitPrice"]) * (abs(n) if kind == "returns" else n)
    return sums


def fill(shop: Shop, paths: list[Path]) -> None:
    """A part, a bin and a stock for every code of the files, by a fixed rule from its code."""
    asked: Counter[str] = Counter()
    for path in paths:
        with path.open(encoding="utf-8", newline="") as lines:
            for row in csv.DictReader(lines):
                if row["StockCode"] not in NO_PARTS:
                    asked[row["StockCode"]] += max(0, int(row["Quantity"]))
    codes = {code.casefold(): code for code in sorted(asked, reverse=True)}
    wanted: Counter[str] = Counter()
    for code, n in asked.items():
        wanted[codes[code.casefold()]] += n
    parts, bins, entries = [], [], []
    for place, code in enumerate(sorted(wanted)):
        draw = sha256(code.encode()).digest()
        part = Part(number=code, description=f"part {code}", family="part", bulk_volume_mm3=1000.0 + 50 * draw[0],
                    longest_mm=20 + draw[1] % 100, supply=Supply.MAKE if draw[2] % 4 == 0 else Supply.BUY,
                    price_minor=100,
                    currency="GBP")  # fmt: skip
        parts.append(part)
        where: dict[str, Any] = {
            "code": f"B{place:05}",
            "aisle": "1",
            "side": Side.LEFT,
            "section": 1,
            "level": 1,
            "y_mm": place,
        }
        bins.append(Bin(**where, part_number=code, pieces=0))
        # Four parts in ten have less than what the two weeks ask for.
        stock = wanted[code] * (40 + draw[3] % 100) // 100
        if stock:
            entry = bin_move(
                part_number=code, bin_code=f"B{place:05}", pieces=stock, reason="counted", source="invented stock"
            )
            entries.append(entry)
    services = [
        Service(
            code="post", name="Post (invented)", kind=ServiceKind.POSTAL, cut_off=time(16, 0), max_weight_g=Decimal(0)
        )
    ]
    with shop.writing() as books:
        books.replace([Settings(currency="GBP", time_zone="Europe/London")])
        books.add([*parts, *bins, *services])
        books.move(stock=entries, at=NOW, person="clerk")


def bring_in(shop: Shop, paths: list[Path]) -> list[OrdersImport]:
    """The mapping is kept, unknown countries are explained once, then each day comes in."""
    keep_mapping(shop, MAPPING, at=NOW, person="clerk")
    for said, code in COUNTRIES.items():
        explain_country(shop, said, code, at=NOW, person="clerk")
    return [import_orders(shop, path, at=NOW, person="clerk", source="old-shop") for path in paths]


def allocate_all(shop: Shop, rule: Rule) -> tuple[int, int, int, int | None]:
    """Allocates everything by a rule: (pieces wanted, promised, complete orders, proven bound)."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"allocation_rule": rule.value})])
        open_ = to_plan(books, books.find(Bin))
        allocated = allocate_open(books, open_, cut_offs_of(books, NOW.date()))
        decided = decided_of(open_, allocated)
        write_decided(books, decided, books.worked_out(decided.moves), at=NOW, person="clerk")
    wanted = sum(line.pieces - line.cancelled_pieces for _, lines in open_.orders for line in lines)
    return wanted, sum(one.pieces for one in allocated.allocations), len(allocated.complete), allocated.bound


def main() -> None:
    """Measures and prints."""
    paths = files(Path(sys.argv[1]) if sys.argv[1:] else FOLDER)
    if not paths:
        print(f"no order files in {FOLDER}")
        return
    started = perf_counter()
    sums = told(paths)
    reference = perf_counter() - started
    print(f"{sums.rows} rows; the csv module alone {reference:.2f} s")
    with TemporaryDirectory() as name, open_shop(Path(name) / "shop.db", create=True) as shop:
        fill(shop, paths)
        started, processor = perf_counter(), process_time()
        done = bring_in(shop, paths)
        print(f"imported in {perf_counter() - started:.2f} s ({process_time() - processor:.2f} s processor)")
        with shop.reading() as books:
            lines = books.find(OrderLine)
            print(f"{books.count(Order)} orders, {len(lines)} lines, {books.count(OrderCharge)} charges,"
                  f" {books.count(ReturnNotice)} lines of returns, {books.count(ReturnMatch)} found")  # fmt: skip
            print(f"pieces: files {sums.pieces['orders']}, shop {sum(line.pieces for line in lines)}")
        print(f"findings {sum(len(one.findings) for one in done)}, notes {sum(len(one.notes) for one in done)},"
              f" pieces of returns waiting {done[-1].waiting_pieces}")  # fmt: skip
        for rule in Rule:
            started = perf_counter()
            wanted, promised, complete, bound = allocate_all(shop, rule)
            proof = "" if bound is None else f", at most {bound}"
            print(f"{rule:22} {promised} of {wanted} pieces, {complete} orders complete{proof};"
                  f" {perf_counter() - started:.2f} s")  # fmt: skip
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
