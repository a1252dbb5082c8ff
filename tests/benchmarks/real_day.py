"""A real order day through the whole shop: orders nobody here invented, parts made from their codes by a fixed rule.

Orders: *Online Retail*, D. Chen, UCI Machine Learning Repository, doi 10.24432/C5BW33; eleven days of it lie outside
the project. The goods there are not small parts, so each stock code gets an invented unit weight, bulk and bin from
its CRC-32. What is no part (postage, fees), no order (cancellations and returns) or no country is a finding.

    python -m tests.benchmarks.real_day ../shared/open-orders/2011-11-08.csv
"""

import csv
import re
import resource
import sys
from collections import Counter
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter
from zlib import crc32

from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.mistakes.rates import MistakeRates
from fulfil_demo_catalog.rehearsal import Rehearsal

from fulfil.despatch.day_papers import day_report_sheet
from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.package_papers import orders_with_packages
from fulfil.despatch.package_set import print_set
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest
from fulfil.errors import UnknownRefused
from fulfil.orders.importing import import_orders
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.finding import Finding
from fulfil.shop.printing import print_papers
from fulfil.standards import iso3166
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks

PART = re.compile(r"[0-9]{5}[A-Za-z]{0,3}")
PART_COLUMNS = (
    "part description family size finish unit_weight_g piece_sd_g sample_pieces weight_source bulk_volume_mm3 "
    "longest_mm supply price currency customs_description hs_code origin"
)
AISLES, SECTIONS, LEVELS = 12, 48, 5
STOCK = 3000


def part_row(code: str) -> list[object]:
    """The fixed rule: unit weight 0.5 to 40 g, piece s.d. 0.3 to 1.1 %, bulk by a density of 2.5 g/cm³."""
    draw = crc32(code.encode())
    unit_g = 0.5 * 80 ** (draw % 1000 / 999)
    sd_g = unit_g * (0.003 + 0.008 * (draw // 1000 % 100) / 99)
    supply = "make" if draw % 3 else "buy"
    weight = [f"{unit_g:.5f}", f"{sd_g:.6f}", 50, "sampled", round(unit_g / 2.5 * 1000, 1), 30]
    customs = ["steel fittings for clock movements", "731815", "GB"]
    return [code, f"part {code}", f"family {draw % 40}", "", "", *weight, supply, "0.10", "GBP", *customs]


def write_catalogue(folder: Path, codes: list[str]) -> None:
    """The day's codes as parts and bins; the demo shop's equipment."""
    for name in ("scales.csv", "bags.csv", "boxes.csv", "services.csv"):
        (folder / name).write_bytes((FOLDER / name).read_bytes())
    (folder / "settings.csv").write_text(
        "setting,value\nshop_name,Benchmark shop (invented)\ncountry,GB\ncurrency,GBP\n"
    )
    with (folder / "parts.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(PART_COLUMNS.split())
        rows.writerows(part_row(code) for code in codes)
    with (folder / "room.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["element", "name", "x_mm", "y_mm"])
        rows.writerows(["aisle", aisle + 1, 1200 + 2400 * aisle, ""] for aisle in range(AISLES))
        rows.writerows(
            [["cross-aisle", "front", "", 0], ["cross-aisle", "back", "", 30000], ["bench", "bench", 1200, 0]]
        )
    with (folder / "bins.csv").open("w", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["bin", "aisle", "side", "section", "level", "y_mm", "part", "pieces"])
        for place, code in enumerate(sorted(codes, key=lambda code: crc32(code.encode()))):
            aisle, rest = place % AISLES, place // AISLES
            section, level = rest % SECTIONS, rest // SECTIONS % LEVELS
            side = "left" if rest // SECTIONS // LEVELS % 2 else "right"
            rows.writerow([f"b{place}", aisle + 1, side, section + 1, level + 1, 600 + 600 * section, code, STOCK])


def read_day(path: Path) -> tuple[list[dict[str, str]], list[Finding]]:
    """The rows that are orders for parts, and a finding for each row that is not."""
    rows, findings = [], []
    with path.open(newline="", encoding="utf-8") as file:
        for line, row in enumerate(csv.DictReader(file), start=2):
            if row["InvoiceNo"].startswith("C") or int(row["Quantity"]) <= 0:
                says, do = "a cancellation or return, no order", "find its order"
                findings.append(Finding(path.name, line, "Quantity", row["Quantity"], says, do))
            elif PART.fullmatch(row["StockCode"]) is None:
                says, do = "no part", "keep it as a charge"
                findings.append(Finding(path.name, line, "StockCode", row["StockCode"], says, do))
            else:
                # One code in two cases is one part.
                rows.append(row | {"StockCode": row["StockCode"].upper()})
    return rows, findings


def write_orders(path: Path, rows: list[dict[str, str]]) -> None:
    """The rows in our own columns; a country that has no code keeps its name, for the import to find."""
    with path.open("w", newline="", encoding="utf-8") as file:
        out = csv.writer(file)
        out.writerow(
            [
                "order",
                "received_at",
                "source",
                "name",
                "street",
                "city",
                "country",
                "service",
                "currency",
                "part",
                "pieces",
                "unit_price",
            ]
        )
        for row in rows:
            try:
                country = iso3166.by_name(row["Country"]).alpha_2
            except UnknownRefused:
                country = row["Country"]
            at = datetime.fromisoformat(row["InvoiceDate"]).replace(tzinfo=UTC)
            customer = row["CustomerID"].removesuffix(".0") or "unknown"
            out.writerow(
                [row["InvoiceNo"], at.isoformat(), "web", f"Customer {customer}", "Street", "Town", country,
                 "COG" if country in ("GB", "DE", "FR") else "HARB", "GBP", row["StockCode"], row["Quantity"],
                 row["UnitPrice"]]
            )  # fmt: skip


def main(path: Path) -> None:
    """Runs the day and prints its figures."""
    seconds: dict[str, float] = {}

    @contextmanager
    def timed(step: str):
        began = perf_counter()
        yield
        seconds[step] = perf_counter() - began

    day = datetime.fromisoformat(path.stem).date()
    at = datetime(day.year, day.month, day.day, 6, tzinfo=UTC)
    rows, findings = read_day(path)
    codes = sorted({row["StockCode"] for row in rows})
    with TemporaryDirectory() as place:
        folder = Path(place)
        write_catalogue(folder, codes)
        write_orders(folder / "orders.csv", rows)
        with open_shop(folder / "shop.sqlite", create=True) as shop:
            with timed("import"):
                imported = import_catalogue(shop, folder, at=at, person="bench")
                taken = import_orders(shop, folder / "orders.csv", at=at, person="bench")
            if imported.findings:
                raise SystemExit("\n".join(str(finding) for finding in imported.findings[:9]))
            findings += taken.findings
            with timed("plan"):
                planned, _ = plan_day(shop, day=day, at=at, person="bench")
            with shop.reading() as books:
                found = look_alike_index(books)
            with timed("walk papers"):
                papers = release_walks(shop, [], folder / "papers", at=at, person="bench", index=lambda _: found)
            rehearsal = Rehearsal(
                shop, seed=1, begins=at + timedelta(hours=1), rates=MistakeRates(), index=lambda _: found
            )
            with timed("check"):
                rehearsal.check_all_bags()
            with timed("pack"):
                rehearsal.pack_all_orders()
            with timed("order papers"):
                with shop.reading() as books:
                    numbers = [order.number for order in orders_with_packages(books)]
                for number in numbers:
                    done = print_set(
                        shop, folder / "papers", orders=[number], day=day, at=rehearsal.now, person="bench"
                    )
                    papers += [path for path in done.written if path.suffix == ".pdf"]
            with timed("ship"):
                with shop.reading() as books:
                    services = sorted({one.service_code for one in books.find(Package, state=PackageState.SEALED)})
                for service in services:
                    closed = close_manifest(shop, service, day=day, at=rehearsal.now, person="bench")
                    made = partial(printed_manifest, number=closed.manifest.number)
                    papers += print_papers(shop, folder / "papers", made)
            report = report_day(shop, day=day)
            papers += print_papers(shop, folder / "papers", partial(day_report_sheet, report=report))
    tally = rehearsal.tally
    record = planned.record
    print(f"{path.name}: {len(taken.new)} orders taken, {len(rows)} lines for {len(codes)} parts")
    print(f"findings: {Counter(finding.says for finding in findings).most_common()}")
    print(
        f"{len(planned.walks)} walks, {record.length_mm / 1000:.0f} m; one by one {record.one_by_one_mm / 1000:.0f} m"
    )
    print(
        f"{planned.bags} bags, {tally.planted} mistakes planted, {tally.caught} caught, {len(tally.missed)} missed, "
        f"{tally.false_alarms} false alarms; {len(papers)} papers"
    )
    print(
        f"balance: {report.balance.ordered} ordered = {report.balance.shipped} shipped + {report.balance.short} short "
        f"+ {report.balance.held} held + {report.balance.cancelled} cancelled + {report.balance.in_hand} in hand"
    )
    print(", ".join(f"{step} {took:.1f} s" for step, took in seconds.items()), f"= {sum(seconds.values()):.1f} s")
    print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
