"""How long the evening takes: 1,000 packages quoted, labelled, declared, manifested, advised, reconciled.

Run: ``python -m tests.benchmarks.shipping [packages]``. Prints processor seconds a step (the machine may be shared)
and milliseconds a package; what a shop may expect is 30 s for 1,000 packages quoted, labelled and manifested, and
50 ms for one label. Nothing is asserted: machines differ. The shop is the invented one of ``tests/shipping_shop.py``
with its four orders repeated.
"""

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.advice import AdviceFormat, write_advices
from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.package_papers import order_sheets, package_label_sheets
from fulfil.despatch.package_set import print_set
from fulfil.despatch.quote import quote_package
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import add_range, close_manifest, issue_identifiers
from fulfil.files.written import write_whole
from fulfil.papers.door import pdf
from fulfil.records.despatch.dispatch import Package
from fulfil.records.identifier import IdentifierKind, IdentifierRange
from fulfil.records.order import Order
from fulfil.records.settings import Paper
from fulfil.shop.printing import print_papers
from fulfil.store.shop import Shop, open_shop
from tests import shipping_shop
from tests.shipping_shop import DAY, LINES, NOW, ORDERS, pack


def fill(path: Path, packages: int) -> None:
    """The invented shop with so many packages, a quarter of them abroad by post."""
    with open_shop(path, create=True) as shop:
        shipping_shop.fill(shop)
        with shop.writing() as books:
            for place in range(5, packages + 1):
                order = ORDERS[place % 4]
                pack(books, place, (f"A-{place}", *order[1:]), LINES[order[0]])


def _label(shop: Shop, number: str, out: Path) -> None:
    """The labels of one order, as a file."""
    with shop.reading() as books:
        sheets = package_label_sheets(books, books.need(Order, number))
    out.mkdir(exist_ok=True)
    write_whole(out / f"{number}.pdf", pdf(sheets, page=Paper.A4))


def main(packages: int) -> None:
    """Times each step on a new shop."""
    with TemporaryDirectory() as folder:
        path, out = Path(folder) / "shop.db", Path(folder) / "out"
        fill(path, packages)
        with open_shop(path) as shop:
            given = IdentifierRange(
                code="G", kind=IdentifierKind.SSCC, prefix="952000123", first=1, last=9_999_999, given_on=DAY
            )
            with shop.reading() as books:
                orders = [order.number for order in books.find(Order)]
                numbers = [package.number for package in books.find(Package)]
                one_label = package_label_sheets(books, books.need(Order, "A-1"))

            def each(work: Callable[[str], object], subjects: list[str]) -> Callable[[], object]:
                return lambda: [work(subject) for subject in subjects]

            steps: dict[str, Callable[[], object]] = {
                "quote": each(lambda number: quote_package(shop, number, as_of=DAY), numbers),
                "labels": each(lambda order: _label(shop, order, out), orders),
                "packing lists with labels": each(
                    lambda order: print_papers(shop, out, partial(order_sheets, number=order, day=DAY)), orders
                ),
                "all papers in one go": lambda: print_set(
                    shop, out, orders=orders, day=DAY, at=NOW, person="c", name="all"
                ),
                "customs papers": each(
                    lambda order: declare_order(shop, order, out, day=DAY, at=NOW, person="c"), orders
                ),
                "manifests": lambda: [
                    print_papers(shop, out, partial(printed_manifest, number=one.manifest.number))
                    for service in ("POST", "ROAD")
                    for one in [close_manifest(shop, service, day=DAY, at=NOW, person="c")]
                ],
                "UBL advices": lambda: [
                    write_advices(shop, f"M260302000{place}", AdviceFormat.UBL, out) for place in (1, 2)
                ],
                "reconcile": lambda: reconcile_day(shop, day=DAY),
            }
            total = 0.0
            for name, work in steps.items():
                began = process_time()
                work()
                seconds = process_time() - began
                total += seconds if name in ("quote", "labels", "manifests") else 0.0
                print(f"{name:26} {seconds:7.2f} s {1000 * seconds / packages:7.2f} ms a package")
            print(f"{'quoted, labelled, manifested':26} {total:5.2f} s")
            began = process_time()
            for _ in range(50):
                pdf(one_label, page=Paper.A4)
            print(f"{'one label as PDF':26} {1000 * (process_time() - began) / 50:7.1f} ms")
            add_range(shop, given, at=NOW, person="c")
            began = process_time()
            for order in orders:
                issue_identifiers(shop, order, at=NOW, person="c")
            print(f"{'SSCC issued':26} {process_time() - began:7.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
