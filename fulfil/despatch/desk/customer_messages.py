"""What customers are told once their packages have left: a text each in their language and English, and a table of all.

>>> print(message_text("A-1", "Road parcel", [("P1", "ZX 99")], language="de", shop_name="Invented Works"))
Ihre Bestellung A-1 ist unterwegs.
Your order A-1 is on its way.
<BLANKLINE>
Versandart / service: Road parcel
Paket / package P1, Sendungsnummer / tracking number: ZX 99
<BLANKLINE>
Invented Works

The language is the one that the customer's country reads (:func:`fulfil.papers.phrases.language_of`), else English
alone. A package goes by the carrier's own number, else its S10 number, else its SSCC, else ours. Nothing is sent from
here: the table is for the web shop, the texts for whoever writes to customers.

Limits: translations are our own and unreviewed; by when it arrives, only the carrier can say.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.errors import StateRefused
from fulfil.papers.phrases import language_of, message_words
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.despatch.service import Service
from fulfil.records.order import Order
from fulfil.shop.package_numbers import tracking_rows
from fulfil.store.books import Books

_ENGLISH = {
    "way": "Your order {order} is on its way.",
    "service": "service",
    "package": "package",
    "tracking": "tracking number",
}


@dataclass(frozen=True)
class CustomerMessage:
    """What the customer of an order is told; ``tracking`` are the numbers of its packages, in their order."""

    order_number: str
    name: str
    email: str
    language: str
    service: str
    tracking: tuple[str, ...]
    text: str

    def as_row(self) -> dict[str, str]:
        """A flat row for the web shop; an order in English alone is in ``en``."""
        return {
            "order": self.order_number,
            "name": self.name,
            "email": self.email,
            "language": self.language or "en",
            "service": self.service,
            "tracking_numbers": " ".join(number.replace(" ", "") for number in self.tracking),
            "text": self.text,
        }


def customer_messages(books: Books, manifest_number: str) -> tuple[CustomerMessage, ...]:
    """The messages of a closed manifest, by order; a package that stayed in the house is not told of.

    Raises:
        UnknownRefused: when there is no such manifest.
        StateRefused: when it is still open: nothing has left with it.
    """
    manifest = books.need(Manifest, manifest_number)
    if manifest.state is not ManifestState.CLOSED:
        raise StateRefused("write to the customers of manifest", manifest_number, "a closed manifest")
    void = {one.package_number for one in books.find(ManifestVoid, manifest_number=manifest_number)}
    packages = [one for one in books.find(Package, manifest_number=manifest_number) if one.number not in void]
    numbers = {row["package"]: _goes_by(row) for row in tracking_rows(books, [one.number for one in packages])}
    service, shop_name = books.need(Service, manifest.service_code).name, books.settings().shop_name
    made = []
    for order in books.find(Order, number=sorted({one.order_number for one in packages})):
        own = [(one.number, numbers[one.number]) for one in packages if one.order_number == order.number]
        language = language_of(order.country)
        text = message_text(order.number, service, own, language=language, shop_name=shop_name)
        tracking = tuple(number for _, number in own)
        made.append(CustomerMessage(order.number, order.name, order.email, language, service, tracking, text))
    return tuple(made)


def message_text(
    order_number: str, service: str, packages: Sequence[tuple[str, str]], *, language: str, shop_name: str
) -> str:
    """The text; ``packages`` are our number and the one that the carrier knows of each."""
    theirs = message_words(language)

    def both(name: str) -> str:
        english = _ENGLISH[name]
        return english if theirs.get(name, english) == english else f"{theirs[name]} / {english}"

    way = [words["way"].format(order=order_number) for words in (theirs, _ENGLISH) if words]
    lines = [f"{_capital(both('service'))}: {service}"]
    lines += [
        f"{_capital(both('package'))} {ours}, {both('tracking')}: {number}"
        if number != ours
        else f"{_capital(both('package'))} {ours}"
        for ours, number in packages
    ]
    return "\n".join([*way, "", *lines, "", shop_name])


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _goes_by(row: dict[str, str]) -> str:
    return row["carrier_number"] or row["item_number"] or row["sscc"] or row["package"]
