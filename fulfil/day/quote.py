"""What a package costs with each service, line by line; and the service changed when the customer agrees.

The customer's choice is kept: nothing here changes it but :func:`change_service`, with the reason.
"""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from fulfil.day.customs import hazards_of, reviewed_hazards
from fulfil.errors import CodeRefused, StateRefused, UnknownRefused
from fulfil.records.dispatch import Package, PackageState
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order, OrderState
from fulfil.records.service import Service
from fulfil.records.tariff import Price, Surcharge, Zone
from fulfil.shipping.services import Offer, Sides, Tariffs, offers
from fulfil.standards import dangerous_goods, iso3166
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Quoted:
    """What was asked for, the service that the customer chose ('' where none), and what each service says."""

    subject: str
    chosen: str
    offers: tuple[Offer, ...]

    @property
    def choice(self) -> Offer | None:
        """The offer of the chosen service."""
        return next((offer for offer in self.offers if offer.service.code == self.chosen), None)


def tariffs_of(books: Books) -> Tariffs:
    """Zones, prices and surcharges as the shop has them."""
    return Tariffs(books.find(Zone), books.find(Price), books.find(Surcharge))


def quote_package(shop: Shop, number: str, *, as_of: date) -> Quoted:
    """What each service says to a package, by its gross mass (expected, before it was weighed).

    Raises:
        UnknownRefused: when there is no such package.
    """
    with shop.reading() as books:
        package = books.need(Package, number)
        order = books.need(Order, package.order_number)
        said = offers(
            books.find(Service),
            tariffs_of(books),
            country=order.country,
            gross_g=package.expected_g if package.gross_g is None else package.gross_g,
            outside_mm=books.need(BoxType, package.box_type).outside_mm,
            hazards=hazards_of(books, package),
            as_of=as_of,
            reviewed=reviewed_hazards(books, package),
            package_number=number,
            post_code=order.post_code,
        )
    return Quoted(f"package {number}", package.service_code, said)


def quote_for(
    shop: Shop,
    country: str,
    gross_g: Decimal,
    outside_mm: Sides,
    *,
    hazards: str = "",
    as_of: date,
    post_code: str = "",
) -> Quoted:
    """What each service says to a package that isn't there yet, such as one on the telephone.

    Raises:
        UnknownRefused: for a country that doesn't exist, a hazard word outside the vocabulary.
    """
    country = _country(country)
    words = dangerous_goods.parse(hazards)
    with shop.reading() as books:
        said = offers(
            books.find(Service),
            tariffs_of(books),
            country=country,
            gross_g=gross_g,
            outside_mm=outside_mm,
            hazards=words,
            as_of=as_of,
            post_code=post_code or None,
        )
    return Quoted(f"{gross_g:f} g to {country}", "", said)


def _country(said: str) -> str:
    """The code of a country told by its code in either case, or by its name."""
    try:
        return iso3166.parse(said).alpha_2
    except CodeRefused:
        return iso3166.by_name(said).alpha_2


def change_service(
    shop: Shop, order_number: str, service_code: str, reason: str, *, at: datetime, person: str
) -> list[Package]:
    """Sends an order with another service, as agreed with the customer; sealed packages are weighed again.

    Raises:
        UnknownRefused: when there is no such order or service.
        StateRefused: when a package has left, the order is over, or the reason is empty.
    """
    with shop.writing() as books:
        order = books.need(Order, order_number)
        if books.get(Service, service_code) is None:
            known = ", ".join(service.code for service in books.find(Service))
            raise UnknownRefused("find the service", service_code, f"one of {known}")
        packages = books.find(Package, order_number=order_number)
        if any(package.state is PackageState.SHIPPED for package in packages):
            raise StateRefused("change the service of order", order_number, "an order of which nothing has left")
        if order.state in (OrderState.SHIPPED, OrderState.CANCELLED):
            raise StateRefused("change the service of order", order_number, f"an open one; it is {order.state}")
        if not reason.strip():
            raise StateRefused("change the service of order", order_number, "a reason: who agreed, and when")
        update = {"service_code": service_code, "state": PackageState.PLANNED, "sealed_at": None}
        changed = [package.model_copy(update=update) for package in packages]
        books.replace([*changed, order.model_copy(update={"service_code": service_code, **_back(order)})])
        particulars = {"from": order.service_code, "to": service_code, "reason": reason}
        books.journal(at=at, person=person, event="service changed", subject=order_number, particulars=particulars)
    return changed


def _back(order: Order) -> dict[str, OrderState]:
    """A packed order goes back to the bench: its packages must be weighed for the other service."""
    return {"state": OrderState.CHECKED} if order.state is OrderState.PACKED else {}
