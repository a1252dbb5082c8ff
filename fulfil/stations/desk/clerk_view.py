"""What the clerk's page shows: what to do next by cut-off, packages by state, what is off and how to mend it."""

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from fulfil.counting.scale_alarms import standing_alarms
from fulfil.despatch.abroad.customs import hazards_of, reviewed_hazards
from fulfil.despatch.desk.next_steps import NextStep, next_steps
from fulfil.despatch.pack import stops
from fulfil.despatch.reconcile import DayReconciliation, reconciliation
from fulfil.orders.listed import recent_manifests, recent_packages
from fulfil.orders.recounts import open_recounts
from fulfil.orders.search import OrderFound, find_orders
from fulfil.orders.shown import ShownOrder, show_order
from fulfil.papers.elements.day_words import day_words
from fulfil.records.despatch.carrier_bill import CarrierBill
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.draft import Draft
from fulfil.records.order import Order, OrderState
from fulfil.shop.clock import day_span, local, local_day
from fulfil.shop.drafts import START
from fulfil.standards import dangerous_goods
from fulfil.stations.desk.customs_view import CustomsView, customs_view
from fulfil.store.books import Books

STATES = (PackageState.PLANNED, PackageState.STOP, PackageState.SEALED, PackageState.SHIPPED)
SOON_MIN = 60
_MOST = 20
MOST_SHOWN = 20
"""So many differences are shown: in the middle of the day every line that hasn't left is one."""


@dataclass(frozen=True)
class Due:
    """What is to be done for one service by its next collection; without a service, for the day."""

    head: str
    left: str
    kind: str
    steps: tuple[NextStep, ...]


@dataclass(frozen=True)
class Wrong:
    """Something that is off: what, how it is mended, and the button that does so; ``asks`` where it needs words.

    ``order`` is the order to look at, where it is of one.
    """

    says: str
    mends: str
    line: str = ""
    label: str = ""
    asks: str = ""
    order: str = ""


@dataclass(frozen=True)
class ClerkView:
    """The page; ``found`` and ``order`` where somebody looked for an order, ``now`` once the day is reconciled."""

    hour: str
    due: tuple[Due, ...]
    packages: tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]
    wrong: tuple[Wrong, ...]
    now: DayReconciliation | None
    manifests: tuple[Manifest, ...]
    bills: tuple[CarrierBill, ...]
    drafts: tuple[Draft, ...]
    looked_for: str
    found: tuple[OrderFound, ...]
    order: ShownOrder | None
    customs: CustomsView | None
    most: int = MOST_SHOWN


def clerk_view(books: Books, *, at: datetime, looked_for: str = "", order: str = "", whole: bool = False) -> ClerkView:
    """The page at one moment; ``whole`` reconciles the day even before its evening.

    Raises:
        UnknownRefused: there is no such order.
    """
    settings = books.settings()
    day = local_day(at, settings)
    steps = next_steps(books, at=at)
    is_evening = whole or any(not step.service_code for step in steps)
    start, end = day_span(day, settings)
    chosen = show_order(books, order) if order else None
    return ClerkView(
        hour=f"{day_words(day)}, {local(at, settings):%H:%M}",
        due=_due(books, steps, at),
        packages=_packages(books),
        wrong=_wrong(books),
        now=reconciliation(books, day=day) if is_evening else None,
        manifests=tuple(reversed(recent_manifests(books))),
        bills=tuple(books.between(CarrierBill, "at", start, end)),
        drafts=tuple(one for one in books.find(Draft) if one.code != START),
        looked_for=looked_for,
        found=tuple(find_orders(books, looked_for)[:_MOST]) if looked_for else (),
        order=chosen,
        customs=None if chosen is None else customs_view(books, chosen.order, chosen.packages, at=at),
    )


def _due(books: Books, steps: tuple[NextStep, ...], at: datetime) -> tuple[Due, ...]:
    now = local(at, books.settings())
    names = {service.code: service.name for service in books.find(Service)}
    rows: list[tuple[tuple[str, datetime | None], list[NextStep]]] = []
    for step in steps:
        which = (step.service_code, step.until)
        if not rows or rows[-1][0] != which:
            rows.append((which, []))
        rows[-1][1].append(step)
    found = []
    for (code, until), its in rows:
        left, kind = "", ""
        if code and until is not None:
            minutes = int((until - now).total_seconds() // 60)
            is_today = until.date() == now.date()
            left = f"{until:%H:%M}" if is_today else f"{until:%a %d %b %H:%M}"
            left += f", {minutes // 60} h {minutes % 60:02} min left" if is_today else ""
            kind = "soon" if is_today and minutes < SOON_MIN else ""
        found.append(Due(names.get(code, code) if code else "The day", left, kind, tuple(its)))
    return tuple(found)


def _packages(books: Books) -> tuple[tuple[str, tuple[tuple[str, tuple[str, ...]], ...]], ...]:
    """For each service its packages by state, by number."""
    packages = recent_packages(books)
    services = Counter(package.service_code for package in packages)
    return tuple(
        (code, tuple((state.value, _numbers(packages, code, state)) for state in STATES)) for code in sorted(services)
    )


def _numbers(packages: list[Package], code: str, state: PackageState) -> tuple[str, ...]:
    return tuple(sorted(one.number for one in packages if one.service_code == code and one.state is state))


def _wrong(books: Books) -> tuple[Wrong, ...]:
    """Stopped packages, held orders, bags on the way back, scales that drift, open manifests; each with its verb."""
    found = []
    stopped = books.find(Package, state=PackageState.STOP)
    for package in stopped:
        found.append(_stopped(books, package))
    for order in books.find(Order, state=OrderState.HELD):
        if any(package.order_number == order.number for package in stopped):
            continue
        says = f"Order {order.number} is held: {order.held_reason or 'nobody said why'}"
        mends = "Mend it, then let it go on"
        found.append(Wrong(says, mends, f"resume {order.number}", "Let it go on", order=order.number))
    for alarm in standing_alarms(books):
        says = f"Scale {alarm.scale_code}: {alarm.says}"
        mends = f"{alarm.do}; then say what was done, and check it: fulfil scales check {alarm.scale_code}"
        found.append(Wrong(says, mends, f"acted-on {alarm.scale_code}", "It was done", "What was done about it"))
    for slip in open_recounts(books):
        says = f"Bag {slip.bag_code} of order {slip.order_number} is on its way back: {slip.reason}"
        found.append(Wrong(says, f"The picker puts it right, the check bench checks it again (slip {slip.number})"))
    for manifest in books.find(Manifest, state=ManifestState.OPEN):
        says = f"Manifest {manifest.number} for {manifest.service_code} is open"
        found.append(Wrong(says, "It is closed under Do next, once its packages are sealed"))
    return tuple(found)


def _stopped(books: Books, package: Package) -> Wrong:
    """A package that was stopped, with what keeps it; goods that wait for a trained person's look are reviewed here."""
    order = books.need(Order, package.order_number)
    keeps = stops(books, package, order)
    held = ", which is held" if order.state is OrderState.HELD else ""
    reason = keeps[0].says if keeps else "its weight was off"
    says = f"Package {package.number} of order {order.number}{held}: {reason}"
    restricted = dangerous_goods.stops_for_review(hazards_of(books, package))
    if keeps and restricted and not set(restricted) <= set(reviewed_hazards(books, package)):
        asks = "Seen by a trained person: what, and by which rule it may go"
        return Wrong(says, keeps[0].do, f"review {package.number}", "Record the review", asks, order.number)
    mends = keeps[0].do if keeps else "The packing bench looks into it and weighs it again"
    return Wrong(says, mends, order=order.number)
