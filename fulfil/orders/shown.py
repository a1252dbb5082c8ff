"""One order as the shop knows it: who gets it, what it wants at which price, and what became of each piece.

Sums are of the pieces still wanted: ordered less cancelled. Money is exact, in minor units of the order's currency.

>>> from fulfil.records.tiny import LINE
>>> PricedLine(LINE.model_copy(update={"cancelled_pieces": 10}), "Bearing ball 3 mm").sum_minor
80
>>> at = {"order_number": "A-1", "line_no": 1, "part_number": "BALL-3"}
>>> in_hand = [OwedBalance(**at, place=Owed.BAGGED, ref=code, pieces=20) for code in ("B1", "B2")]
>>> where(LINE, [*in_hand, OwedBalance(**at, place=Owed.SHORT, pieces=10)])
'10 short, 40 in a bag'
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order, OrderLine
from fulfil.records.order_charge import OrderCharge
from fulfil.records.part import Part
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.plan import Bag
from fulfil.records.settings import Settings
from fulfil.store.books import Books


@dataclass(frozen=True)
class PricedLine:
    """A line, what its part is, where its pieces are (of a kit its parts), and what those still wanted cost."""

    line: OrderLine
    description: str
    places: tuple[OwedBalance, ...] = ()

    @property
    def sum_minor(self) -> int:
        """Price times the pieces still wanted."""
        return self.line.unit_price_minor * (self.line.pieces - self.line.cancelled_pieces)


def where(line: OrderLine, places: Sequence[OwedBalance]) -> str:
    """Where the pieces of a line are, in the order in which pieces go; of a kit, each of its parts."""
    way = list(Owed)
    sums: dict[tuple[str, int], int] = defaultdict(int)
    for one in places:
        sums[one.part_number, way.index(one.place)] += one.pieces
    is_kit = any(one.part_number != line.part_number for one in places)
    return ", ".join(
        f"{pieces} {f'of {part} ' if is_kit else ''}{way[place].value}"
        for (part, place), pieces in sorted(sums.items())
    )


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
    balances = books.find(OwedBalance, order_number=number)
    service = books.get(Service, order.service_code)
    return ShownOrder(
        order=order,
        lines=tuple(
            PricedLine(
                line,
                parts[line.part_number].description,
                tuple(one for one in balances if one.line_no == line.line_no),
            )
            for line in lines
        ),
        bags=tuple(books.find(Bag, order_number=number)),
        packages=tuple(books.find(Package, order_number=number)),
        charges=tuple(books.find(OrderCharge, order_number=number)),
        service_name="" if service is None else service.name,
        settings=books.settings(),
    )
