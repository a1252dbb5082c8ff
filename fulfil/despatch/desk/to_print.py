"""Which orders' papers wait for a printer, in the order in which they are needed.

An order's papers are due once all its packages here are sealed and wait for a manifest, and one of them lacks its label
since it was sealed, or a customs paper (:mod:`fulfil.despatch.abroad.papers_due`).
:mod:`fulfil.despatch.package_set` prints them.
"""

from datetime import date

from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.papers.despatch.logistic_label import LogisticLabelSheet
from fulfil.papers.despatch.package_label import PackageLabelSheet
from fulfil.papers.registry import paper_of
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.despatch.papers import PapersPrinted
from fulfil.records.order import Order, OrderState
from fulfil.shop.collecting import cut_offs_of
from fulfil.store.books import Books

_LABELS = {paper_of(PackageLabelSheet).file, paper_of(LogisticLabelSheet).file}
_GOES = (OrderState.HELD, OrderState.CANCELLED)


def orders_to_print(books: Books, service_code: str = "", *, day: date, again: bool = False) -> list[str]:
    """Orders that are sealed, whole, wait for a manifest, and lack a paper: the earliest cut-off first.

    Ties go by service, then by the number of the first package. ``again`` takes those that have all their papers too.
    """
    of = {"service_code": service_code} if service_code else {}
    sealed = books.find(Package, state=PackageState.SEALED, manifest_number="", **of)
    numbers = sorted({package.order_number for package in sealed})
    open_ = {one.order_number for one in books.find(Package, order_number=numbers, state=[*HERE])
             if one.state is not PackageState.SEALED}  # fmt: skip
    orders = {one.number: one for one in books.find(Order, number=numbers) if one.state not in _GOES}
    cut_off = cut_offs_of(books, day)
    ranked = sorted(sealed, key=lambda one: (cut_off[one.service_code], one.service_code, one.number))
    wanted = [
        package.order_number
        for package in ranked
        if package.order_number in orders
        and package.order_number not in open_
        and (again or _lacks_some(books, package, orders[package.order_number], day))
    ]
    return list(dict.fromkeys(wanted))


def _lacks_some(books: Books, package: Package, order: Order, day: date) -> bool:
    """Whether its label wasn't printed since it was sealed, or a customs paper is due."""
    since = package.sealed_at
    printed = [
        one.names.split("; ")
        for one in books.find(PapersPrinted, package_number=package.number)
        if since is None or one.at >= since
    ]
    is_labelled = any(_LABELS & {*names} for names in printed)
    return not is_labelled or bool(customs_lacks(books, package, order, day=day))
