"""The demo day: one whole day of the invented shop, from its files to closed manifests, with every paper.

The day is fixed and chance is seeded, so two runs give the same papers, byte for byte. Weighings are simulated and
marked as such; what the planted mistakes did is counted, the missed ones with the reason. In the evening come the
carriers' bills, invented and with a mistake of each kind: the day can't be closed before each has its word.
"""

from collections.abc import Callable
from dataclasses import asdict, dataclass
from datetime import date, datetime
from functools import partial
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from fulfil_demo_catalog.folder import claim, mark_made
from fulfil_demo_catalog.mistakes.bills import word_on, write_bills
from fulfil_demo_catalog.mistakes.rates import MistakeRates
from fulfil_demo_catalog.rehearsal import Rehearsal

from fulfil.counting.learning import learn_day
from fulfil.counting.papers import need_counting_tables
from fulfil.despatch.abroad.customs_papers import declare_order
from fulfil.despatch.advice import AdviceFormat, write_advices
from fulfil.despatch.close import close_day, reconciliation_sheet, settle_all
from fulfil.despatch.day_papers import day_report_sheet, short_list_sheet
from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.package_papers import order_sheets, orders_with_packages
from fulfil.despatch.reconcile import reconcile_day, take_bill
from fulfil.despatch.report import report_day
from fulfil.despatch.ship import close_manifest
from fulfil.errors import FileRefused, StateRefused
from fulfil.files.bill_mapping import read_mapping
from fulfil.orders.importing import import_orders
from fulfil.progress import each, tell
from fulfil.records.despatch.dispatch import Manifest, Package, PackageState
from fulfil.records.order import OrderLine
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.shop.printing import print_papers
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.collector import collector_paused
from fulfil.store.shop import Shop, open_shop
from fulfil.walks import bound_apart
from fulfil.walks.drawings import draw_rooms
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.plan import plan_day
from fulfil.walks.prove import keep_bound
from fulfil.walks.releasing import release_walks

DAY = date(2026, 3, 2)
PLANNER, PICKER, CLERK = "planner-1", "picker-1", "clerk-1"
PROOF_LOOKS = 60
"""The demo's proof is bounded by looks at its clock, which ticks once a look: work, not seconds, ends it."""


@dataclass(frozen=True)
class DemoDay:
    """The shop after its day, and the summary of it."""

    shop_path: Path
    summary: dict[str, Any]


@dataclass(frozen=True)
class _Bills:
    """The papers of the reconciliation, and what the summary says of it."""

    papers: list[Path]
    summary: dict[str, Any]


_STEPS = 15
"""Of the demo day, for whoever watches."""


@collector_paused()
def run_demo(
    catalogue: Path,
    out: Path,
    *,
    seed: int,
    clock: Callable[[], float],
) -> DemoDay:
    """Runs the demo day into a folder that is empty or holds an earlier demo, and returns its summary.

    Without the garbage collector, which walks over the catalogue again and again: a tenth of its processor time.

    Raises:
        FileRefused: when the folder holds something else.
    """
    shop_path = claim(out)
    seconds: dict[str, float] = {}
    papers: list[Path] = []

    def timed(step: str, work: Callable[[], Any]) -> Any:
        tell(f"the demo day: {step}", len(seconds), _STEPS)
        began = clock()
        result = work()
        seconds[step] = round(clock() - began, 3)
        return result

    # The first run on a machine waits for machine code; another process makes it while the shop is imported.
    proving = bound_apart.begin()
    with open_shop(shop_path, create=True) as shop:
        begins = morning(DAY)
        timed("import", lambda: _import(shop, catalogue, begins))
        with shop.reading() as books:
            found = look_alike_index(books)
        # A scale that was tested this morning earns narrower windows.
        rehearsal = Rehearsal(shop, seed=seed, begins=begins, rates=MistakeRates(), index=lambda _: found)
        timed("test scales", rehearsal.check_all_scales)
        timed("machine code", lambda: bound_apart.wait_until_ready(proving))
        planned, _ = timed("plan", lambda: plan_day(shop, day=DAY, at=begins, person=PLANNER, seed=seed))
        # The bound is for the day report; nobody at the bench waits for it.
        bound_apart.ask(proving, str(shop_path), DAY, PROOF_LOOKS)
        walk_papers = out / "papers" / "walks"
        papers += timed(
            "walk papers",
            lambda: release_walks(shop, [], walk_papers, at=begins, person=PLANNER, index=lambda _: found),
        )
        papers += print_papers(shop, out / "papers", lambda books: short_list_sheet(books, day=DAY))
        timed("check", rehearsal.check_all_bags)
        timed("pack", rehearsal.pack_all_orders)
        papers += timed("order papers", lambda: _order_papers(shop, out / "papers" / "orders", rehearsal.now))
        papers += timed("ship", lambda: _ship(shop, out / "papers" / "manifests", rehearsal.now))
        bound_mm, is_closed = timed("prove", lambda: bound_apart.result(proving))
        keep_bound(shop, bound_mm, is_closed, day=DAY, at=begins, person=PLANNER)
        learned = timed("learn", lambda: learn_day(shop, day=DAY, at=rehearsal.now, person=CLERK, is_simulated=True))
        papers += timed("counting tables", lambda: _tables(shop, out / "papers"))
        report = timed("report", lambda: report_day(shop, day=DAY))
        papers += print_papers(shop, out / "papers", lambda books: day_report_sheet(books, report))
        papers += timed("rooms", lambda: _rooms(shop, catalogue, out / "papers" / "rooms"))
        bills = timed("bills", lambda: _reconcile(shop, out, rehearsal.now))
        papers += bills.papers
        summary = _summary(shop, rehearsal, papers, out)
    summary |= bills.summary
    summary |= {
        "walk_m": planned.record.length_mm / 1000,
        "walk_bound_m": bound_mm / 1000 if is_closed else None,
        "one_by_one_m": planned.record.one_by_one_mm / 1000,
        "walks": len(planned.walks),
        "short_lines": planned.short_lines,
        "balance": {
            name: getattr(report.balance, name)
            for name in ("ordered", "shipped", "short", "held", "cancelled", "in_hand")
        },
        "unit_weights_learned": len(learned.weights),
        "drift_alarms": [alarm.sentence for alarm in learned.drift.alarms],
        "seconds": seconds,
    }
    mark_made(out)
    return DemoDay(shop_path, summary)


def morning(day: date) -> datetime:
    """When a day of the demo shop begins: eight o'clock in its time zone."""
    return datetime(day.year, day.month, day.day, 8, 0, tzinfo=ZoneInfo("Europe/Luxembourg"))


def _import(shop: Shop, catalogue: Path, at: datetime) -> None:
    imported = import_catalogue(shop, catalogue, at=at, person=CLERK)
    findings = list(imported.findings)
    for name in ("orders.csv", "orders_phone.json"):
        if (catalogue / name).exists():
            findings += import_orders(shop, catalogue / name, at=at, person=CLERK).findings
    if findings:
        listed = "; ".join(str(finding) for finding in findings[:5])
        raise FileRefused("import the demo shop from", catalogue, f"files without findings; found: {listed}")


def _tables(shop: Shop, out: Path) -> list[Path]:
    return print_papers(shop, out, lambda books: need_counting_tables(books, day=DAY))


def _rooms(shop: Shop, catalogue: Path, out: Path) -> list[Path]:
    """The catalogue's rooms of other shapes, each with a walk."""
    with shop.reading() as books:
        settings = books.settings()
    return draw_rooms(catalogue / "rooms", out, settings=settings, day=DAY)


def _order_papers(shop: Shop, out: Path, at: datetime) -> list[Path]:
    with shop.reading() as books:
        numbers = [order.number for order in orders_with_packages(books)]
    papers: list[Path] = []
    for number in each("papers of orders", numbers):
        papers += print_papers(shop, out, partial(order_sheets, number=number, day=DAY))
        customs = declare_order(shop, number, out / "customs", day=DAY, at=at, person=CLERK)
        papers += [path for path in customs.written if path.suffix == ".pdf"]
    return papers


def _ship(shop: Shop, out: Path, at: datetime) -> list[Path]:
    """Closes a manifest for every service with a sealed package, services by code."""
    with shop.reading() as books:
        services = sorted({package.service_code for package in books.find(Package, state=PackageState.SEALED)})
    written: list[Path] = []
    for service in services:
        closed = close_manifest(shop, service, day=DAY, at=at, person=CLERK)
        number = closed.manifest.number
        written += print_papers(shop, out, partial(printed_manifest, number=number))
        write_advices(shop, number, AdviceFormat.UBL, out / "advice")
    return written


def _reconcile(shop: Shop, out: Path, at: datetime) -> _Bills:
    """Takes in the carriers' bills, prints what differs, gives each difference its word, closes the day, prints it."""
    bills, planted = write_bills(shop, out / "bills", day=DAY)
    for bill in bills:
        mapping = read_mapping(bill.columns.read_bytes(), bill.columns.name)
        taken = take_bill(shop, bill.bill, mapping, at=at, person=CLERK, number=bill.number)
        if taken.findings:
            listed = "; ".join(str(finding) for finding in taken.findings[:5])
            raise FileRefused("take in the demo's bill", bill.bill, f"a file without findings; found: {listed}")
    before = reconcile_day(shop, day=DAY)
    papers = print_papers(shop, out / "papers" / "open", lambda books: reconciliation_sheet(books, before))
    refused = ""
    try:
        close_day(shop, day=DAY, at=at, person=CLERK)
    except StateRefused as refusal:
        refused = str(refusal)
    words = [word_on(one) for one in before.open_differences]
    settle_all(shop, words, day=DAY, at=at, person=CLERK)
    close_day(shop, day=DAY, at=at, person=CLERK)
    now = reconcile_day(shop, day=DAY)
    papers += print_papers(shop, out / "papers", lambda books: reconciliation_sheet(books, now))
    differences = [
        {
            "cause": one.cause.value,
            "subject": one.subject,
            "money": one.money,
            "outcome": now.words[one.code].outcome.value,
            "reason": now.words[one.code].reason,
        }
        for one in now.differences
    ]
    return _Bills(
        papers,
        {
            "bill_mistakes_planted": len(planted),
            "bill_mistakes_found": sum(one.is_found_in(now.differences) for one in planted),
            "bill_differences": differences,
            "close_refused": refused,
            "sums": [{"label": one.label, "ours": one.ours, "theirs": one.theirs} for one in now.sums],
        },
    )


def _summary(shop: Shop, rehearsal: Rehearsal, papers: list[Path], out: Path) -> dict[str, Any]:
    tally = rehearsal.tally
    with shop.reading() as books:
        lines = books.find(OrderLine)
        return {
            "parts": books.count(Part),
            "orders": len({line.order_number for line in lines}),
            "lines": len(lines),
            "pieces": sum(line.pieces for line in lines),
            "bags": books.count(Bag),
            "bags_checked": tally.bags_checked,
            "mistakes_planted": tally.planted,
            "mistakes_caught": tally.caught,
            "mistakes_missed": [asdict(missed) for missed in tally.missed],
            "false_alarms": tally.false_alarms,
            "packages": books.count(Package),
            "manifests": books.count(Manifest),
            "papers": [path.relative_to(out).as_posix() for path in papers],
        }
