"""What a package costs with each service, line by line; and the service changed when the customer agrees.

The customer's choice is kept: nothing here changes it but :func:`fulfil.orders.changing.change_service`.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fulfil.despatch.abroad.customs import reviewed_hazards
from fulfil.despatch.inside import inside
from fulfil.errors import CodeRefused
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.equipment import BoxType
from fulfil.records.order import Order
from fulfil.shipping.limits import NOT_INSURED, Insured
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
            books.find(Service, is_retired=False),
            tariffs_of(books),
            country=order.country,
            gross_g=package.expected_g if package.gross_g is None else package.gross_g,
            outside_mm=books.need(BoxType, package.box_type).outside_mm,
            hazards=inside(books, package).transport_words,
            as_of=as_of,
            reviewed=reviewed_hazards(books, package),
            package_number=number,
            post_code=order.post_code,
            insured=Insured(order.insured_minor, order.currency),
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
    insured: Insured = NOT_INSURED,
) -> Quoted:
    """What each service says to a package that isn't there yet, such as one on the telephone.

    Raises:
        UnknownRefused: for a country that doesn't exist, a hazard word outside the vocabulary.
    """
    country = _country(country)
    words = dangerous_goods.parse_refused(hazards)
    with shop.reading() as books:
        said = offers(
            books.find(Service, is_retired=False),
            tariffs_of(books),
            country=country,
            gross_g=gross_g,
            outside_mm=outside_mm,
            hazards=words,
            as_of=as_of,
            post_code=post_code or None,
            insured=insured,
        )
    return Quoted(f"{gross_g:f} g to {country}", "", said)


def _country(said: str) -> str:
    """The code of a country told by its code in either case, or by its name."""
    try:
        return iso3166.parse(said).alpha_2
    except CodeRefused:
        return iso3166.by_name(said).alpha_2
