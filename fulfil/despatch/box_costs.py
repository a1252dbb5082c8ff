"""What a package in a box costs the shop: what its service charges, the empty box, the work of one more package.

By this the boxes of an order are chosen (:mod:`fulfil.planning.boxes.cartons`). All is in the currency that the service
charges in; a shop without prices of the service counts in its own. Prices of boxes count only where every box type has
one in that currency, the work where it is the shop's own currency: what can't be compared is left out.

A package that the tables have no price for costs more than any that has one (:data:`NO_PRICE_MINOR`). The charge is
that of the expected mass, on the day that the boxes are chosen; the one that is written down is worked out when the
package leaves.
"""

from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from math import ceil

from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import REST, Price, Surcharge, Zone
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order
from fulfil.records.settings import Settings
from fulfil.shipping.limits import Insured
from fulfil.shipping.services import Quote, Tariffs
from fulfil.store.books import Books

NO_PRICE_MINOR = 10**12
"""Above any sum of prices of one order."""

BoxCost = Callable[[BoxType, float], int]


def box_cost(
    books: Books, service: Service, order: Order, boxes: Iterable[BoxType], hazards: Iterable[str], *, as_of: date
) -> BoxCost:
    """What a package of an order costs in minor units, from its box and what its bags weigh in g.

    ``hazards`` are the words of the whole order: which package they will be in isn't known yet.
    """
    of = {"service_code": service.code}
    tariffs = Tariffs(
        books.find(Zone, **of, country=[order.country, REST]), books.find(Price, **of), books.find(Surcharge, **of)
    )
    return cost_by(tariffs, service, order, boxes, hazards, books.settings(), as_of=as_of)


def cost_by(
    tariffs: Tariffs,
    service: Service,
    order: Order,
    boxes: Iterable[BoxType],
    hazards: Iterable[str],
    settings: Settings,
    *,
    as_of: date,
) -> BoxCost:
    """:func:`box_cost` by tables that are there already."""
    has_prices = tariffs.has_prices(service.code)
    currency = tariffs.currency(service.code, as_of) or settings.currency
    counts_boxes = {box.currency for box in boxes} == {currency}
    work_minor = settings.package_work_minor if settings.currency == currency else 0
    words, insured = tuple(hazards), Insured(order.insured_minor, order.currency)
    known: dict[tuple[str, int], int] = {}

    def charge_minor(box: BoxType, gross_g: int) -> int:
        if not has_prices:
            return 0
        quoted = tariffs.quote(
            service,
            order.country,
            Decimal(gross_g),
            box.outside_mm,
            as_of=as_of,
            post_code=order.post_code,
            hazards=words,
            insured=insured,
        )
        return quoted.charge_minor if isinstance(quoted, Quote) else NO_PRICE_MINOR

    def cost(box: BoxType, load_g: float) -> int:
        gross_g = ceil(float(box.tare_g + box.cushioning_g) + load_g)
        key = box.code, gross_g
        if key not in known:
            known[key] = charge_minor(box, gross_g) + work_minor + box.price_minor * counts_boxes
        return known[key]

    return cost
