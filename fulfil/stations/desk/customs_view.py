"""What the desk shows of an order that crosses a customs border: what is told, its papers, the rate of the SDR."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.despatch.abroad.customs import category_of, crosses_border, customs_of, sdr_rate
from fulfil.despatch.abroad.papers_due import customs_lacks
from fulfil.records.despatch.customs import CustomsParticulars
from fulfil.records.despatch.dispatch import HERE, Package
from fulfil.records.order import Order
from fulfil.shop.clock import local_day
from fulfil.standards.cn22 import CATEGORIES
from fulfil.store.books import Books


@dataclass(frozen=True)
class CustomsView:
    """``papers`` says of each package here which paper it takes, and what stands against it; ``lines`` each category.

    ``rate`` is what one SDR costs in the order's currency; empty where nobody entered it.
    """

    told: CustomsParticulars
    category: str
    categories: tuple[str, ...]
    lines: dict[int, str]
    papers: tuple[str, ...]
    currency: str
    rate: str
    today: str


def customs_view(books: Books, order: Order, packages: Sequence[Package], *, at: datetime) -> CustomsView | None:
    """The view of an order; None where it crosses no border."""
    if not crosses_border(books, order):
        return None
    day = local_day(at, books.settings())
    noted = {one.line_no: one for one in books.find(CustomsParticulars, order_number=order.number)}
    told = noted.get(0) or CustomsParticulars(order_number=order.number)
    papers = []
    for package in packages:
        if package.state not in HERE:
            continue
        declared = customs_of(books, package, order, day=day)
        lacks = customs_lacks(books, package, order, day=day, declared=declared)
        off = [f"{one.source}: {one.says}" for one in declared.declaration.findings]
        off += [one.finding.says for one in lacks]
        papers.append(f"{package.number}: {declared.form.value}, {'; '.join(off) or 'printed'}")
    rate = sdr_rate(books, order.currency, day=day)
    return CustomsView(
        told=told,
        category=category_of(told),
        categories=CATEGORIES,
        lines={line_no: one.category for line_no, one in noted.items() if line_no},
        papers=tuple(papers),
        currency=order.currency,
        rate="" if rate is None else f"{rate.currency} {rate.per_sdr} on {rate.as_of}",
        today=f"{day}",
    )
