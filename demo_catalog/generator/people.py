"""Customers of the demo shop: visibly invented people in fifty real countries. No person or firm is real.

Telephone numbers are all zeros but for a running number; those in the United States, Canada and the United Kingdom
come from the ranges reserved for fiction (555-0100 to 555-0199 of the North American Numbering Plan; Ofcom,
020 7946 0000 to 0999; both quoted from memory). Mail addresses use the domains that RFC 2606 reserves.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from fulfil_demo_catalog.generator.chance import Chance
from fulfil_demo_catalog.generator.lands import LANDS, TOWNS, Land


@dataclass(frozen=True)
class Customer:
    """One invented customer."""

    land: Land
    name: str
    company: str
    street: str
    city: str
    post_code: str
    region: str
    phone: str
    email: str


@cache
def customers() -> tuple[Customer, ...]:
    """Some 330 customers: in each country as many as its weight says, at least two."""
    chance = Chance("customers")
    numbered = enumerate((land for land in LANDS for _ in range(max(2, round(land.weight * 2.5)))), start=1)
    return tuple(_customer(number, land, chance) for number, land in numbered)


def _customer(number: int, land: Land, chance: Chance) -> Customer:
    city, post_code, region = chance.pick(TOWNS[land.code])
    company = f"Invented Clockworks {number}" if chance.happens(0.22) else ""
    phone = _phone(land, number) if chance.happens(0.85) else ""
    return Customer(
        land, land.person.format(n=number), company, land.street.format(h=1 + chance.below(90)), city, post_code,
        region, phone, f"person{number}@example.{chance.pick(('com', 'org', 'net'))}",
    )  # fmt: skip


def _phone(land: Land, number: int) -> str:
    if land.code in ("US", "CA"):
        return f"+1 {'202' if land.code == 'US' else '613'} 555 01{number % 100:02d}"
    if land.code == "GB":
        return f"+44 20 7946 {number % 1000:04d}"
    return f"+{land.dial} 000 000 {number:04d}"


def of_land(code: str) -> Iterator[Customer]:
    """The customers of a country, in order."""
    return (customer for customer in customers() if customer.land.code == code)
