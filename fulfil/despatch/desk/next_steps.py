"""What the clerk does now: the steps from the released walk to the closed day, the earliest collection first.

>>> step = NextStep("pack and weigh", ("A-1", "A-2"), "orders", "fulfil bench pack", "POST")
>>> step.says, step.is_ready
('pack and weigh 2 orders: A-1, A-2', True)

Of a service: stopped packages, orders to pack, papers to print, orders that are on a walk or wait for their check, the
manifest to close. A manifest waits for what still comes to the same collection and says so. Services go by their next
collection; of two at the same moment the one with more packages and orders waiting, then by code. Once nothing waits
for a collection of today the day's differences come, then its close.

Limits: the books know what was sealed, not what stands on the dock; whether the van is there, nobody told them.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from fulfil.despatch.abroad.papers_due import lacks_of
from fulfil.despatch.desk.to_print import orders_to_print
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order, OrderState
from fulfil.shop.clock import local, local_day
from fulfil.shop.collecting import NEVER, collections_of
from fulfil.store.books import Books

_MOST_NAMED = 5
_ON_THE_WAY = (OrderState.RELEASED, OrderState.PICKED)


@dataclass(frozen=True)
class NextStep:
    """One thing to do: a verb, what it is about, the command, the service and its next collection (None: none).

    ``waits_for`` says what should come first; a step without it is ready.
    """

    do: str
    about: tuple[str, ...]
    noun: str
    command: str
    service_code: str = ""
    until: datetime | None = None
    why: tuple[str, ...] = ()
    waits_for: str = ""

    @property
    def is_ready(self) -> bool:
        """Whether nothing should come first."""
        return not self.waits_for

    @property
    def says(self) -> str:
        """The step in words, a few of its numbers named."""
        count = len(self.about)
        named = ", ".join(self.about[:_MOST_NAMED]) + (f" and {count - _MOST_NAMED} more" * (count > _MOST_NAMED))
        noun = self.noun if count != 1 else self.noun.removesuffix("s")
        return f"{self.do} {count} {noun}: {named}" if count else self.do


def next_steps(books: Books, *, at: datetime) -> tuple[NextStep, ...]:
    """All that is to be done, what comes first on top; empty once the day is closed and nothing is here."""
    settings = books.settings()
    day, calendar = local_day(at, settings), collections_of(books)
    by_service = []
    for service in books.find(Service):
        steps = _of_service(books, service, day)
        if steps:
            leaving = calendar.next_leaving(service, at)
            until = NEVER if leaving is None else local(leaving.at, settings)
            waiting = sum(len(step.about) for step in steps)
            by_service.append((until, -waiting, service.code, [replace(step, until=until) for step in steps]))
    found = [step for _, _, _, steps in sorted(by_service, key=lambda row: row[:3]) for step in steps]
    is_for_today = any(
        step.until is not None and (step.until == NEVER or local_day(step.until, settings) == day) for step in found
    )
    return tuple(found if is_for_today else [*found, *_evening(books, day)])


def _of_service(books: Books, service: Service, day: date) -> list[NextStep]:
    """The steps of a service, in the order of the hands."""
    here = books.find(Package, service_code=service.code, state=[*HERE])
    checked = books.find(Order, service_code=service.code, state=OrderState.CHECKED)
    numbers = sorted({package.order_number for package in here} | {order.number for order in checked})
    orders = {order.number: order for order in books.find(Order, number=numbers)}
    here = [package for package in here if orders[package.order_number].state is not OrderState.HELD]
    stopped = [package for package in here if package.state is PackageState.STOP]
    boxed = {package.order_number for package in here}
    to_pack = {package.order_number for package in here if package.state is PackageState.PLANNED}
    to_pack |= {order.number for order in checked if order.number not in boxed}
    sealed = [package for package in here if package.state is PackageState.SEALED]
    to_print = orders_to_print(books, service.code, day=day)
    on_the_way = books.find(Order, service_code=service.code, state=_ON_THE_WAY)
    code = service.code
    steps = []
    if stopped:
        why = tuple(_why(books, package, orders[package.order_number]) for package in stopped)
        about = _numbers(stopped)
        steps.append(NextStep("put right or hold", about, "stopped packages", "fulfil bench pack", code, why=why))
    if to_pack:
        about = tuple(sorted(to_pack))
        steps.append(NextStep("pack and weigh", about, "orders", "fulfil bench pack --count-bags", code))
    if to_print:
        command = f"fulfil packages papers --service {code} --out papers"
        steps.append(NextStep("print the papers of", tuple(to_print), "orders", command, code))
    if on_the_way:
        about = tuple(order.number for order in on_the_way)
        steps.append(NextStep("pick and check", about, "orders", "fulfil bench check", code))
    if sealed:
        steps.append(_manifest(books, sealed, steps, code, day))
    return steps


def _manifest(
    books: Books,
    sealed: Sequence[Package],
    before: Sequence[NextStep],
    code: str,
    day: date,
) -> NextStep:
    """The step that closes a manifest, with what still comes before it."""
    due = [step.says.split(":")[0] for step in before]
    why = tuple(dict.fromkeys(one.says for one in lacks_of(books, sealed, day=day)))
    command = f"fulfil manifests close {code} --out papers"
    return NextStep(
        "close the manifest over", _numbers(sealed), "packages", command, code, why=why, waits_for="; ".join(due)
    )


def _evening(books: Books, day: date) -> list[NextStep]:
    """What is left of a day when nothing waits for a service."""
    if books.get(ClosedDay, day) is not None:
        return []
    held = [order.number for order in books.find(Order, state=OrderState.HELD)]
    steps = [NextStep("ask about", tuple(held), "held orders", "fulfil orders list")] if held else []
    from fulfil.despatch.reconcile import reconciliation  # loaded late: by day nothing is reconciled

    now = reconciliation(books, day=day)
    if now.open_differences:
        codes = tuple(one.code for one in now.open_differences)
        steps.append(NextStep("settle or carry over", codes, "differences", "fulfil day reconcile"))
    waits_for = "every difference needs a word" if now.open_differences else ""
    if now.open_manifests:
        numbers = ", ".join(one.number for one in now.open_manifests)
        are = f"manifest {numbers} is open" if len(now.open_manifests) == 1 else f"manifests {numbers} are open"
        waits_for = "; ".join(filter(None, (waits_for, are)))
    return [*steps, NextStep("close the day", (), "", "fulfil day close", waits_for=waits_for)]


def _why(books: Books, package: Package, order: Order) -> str:
    """Why a package stopped, and what is done about it."""
    from fulfil.despatch.pack import stops  # loaded late: it weighs, and mostly nothing has stopped

    found = stops(books, package, order)
    if found:
        return f"{package.number} (order {order.number}): {found[0].says}; {found[0].do}"
    return f"{package.number} (order {order.number}): its weight was off; open it, put it right, weigh it again"


def _numbers(packages: Iterable[Package]) -> tuple[str, ...]:
    return tuple(sorted(package.number for package in packages))
