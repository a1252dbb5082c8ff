"""One order as the shop knows it: who gets it, what it wants at which price, and what became of each piece.

Sums are of the pieces still wanted: ordered less cancelled. Money is exact, in minor units of the order's currency.

>>> from fulfil.records.tiny import LINE
>>> PricedLine(LINE.model_copy(update={"cancelled_pieces": 10}), "Bearing ball 3 mm").sum_minor
80
"""

from dataclasses import dataclass

from fulfil.records.dispatch import Package
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_charge import OrderCharge
from fulfil.records.part import Part
from fulfil.records.plan import Bag
from fulfil.records.service import Service
from fulfil.records.settings import Settings
from fulfil.store.books import Books


@dataclass(frozen=True)
class PricedLine:
    """A line, what its part is, and what the pieces still wanted cost."""

    line: OrderLine
    description: str

    @property
    def sum_minor(self) -> int:
        """Price times the pieces still wanted."""
        return self.line.unit_price_minor * (self.line.pieces - self.line.cancelled_pieces)


@dataclass(frozen=True)
class ShownOrder:
    """An order with its lines, bags, packages and charges, and the settings of the shop that it is in."""

    order: Order
    lines: tuple[PricedLine, ...]
    bags: tuple[Bag, ...]
    packages: tuple[Package, ...]
    charges: tuple[OrderCharge, ...]
    service_name: str
    settings: Settings

    @property
    def goods_minor(self) -> int:
        """What the goods still wanted cost."""
        return sum(one.sum_minor for one in self.lines)

    @property
    def charges_minor(self) -> int:
        """The charges in the order's currency; others are listed, not added."""
        return sum(one.amount_minor for one in self.charges if one.currency == self.order.currency)

    @property
    def total_minor(self) -> int:
        """Goods and charges."""
        return self.goods_minor + self.charges_minor


def show_order(books: Books, number: str) -> ShownOrder:
    """The order as it stands.

    Raises:
        UnknownRefused: there is no such order.
    """
    order = books.need(Order, number)
    lines = books.find(OrderLine, order_number=number)
    parts = {part.number: part for part in books.find(Part, number=sorted({line.part_number for line in lines}))}
    service = books.get(Service, order.service_code)
    return ShownOrder(
        order=order,
        lines=tuple(PricedLine(line, parts[line.part_number].description) for line in lines),
        bags=tuple(books.find(Bag, order_number=number)),
        packages=tuple(books.find(Package, order_number=number)),
        charges=tuple(books.find(OrderCharge, order_number=number)),
        service_name="" if service is None else service.name,
        settings=books.settings(),
    )
