"""What a service adds to its price: fuel surcharge, remote area surcharge, whatever its table names.

A surcharge is a per cent of the price, rounded half up to the minor unit, or an amount a package. For each name the
table that began last holds; of its rows the closest one: the longest beginning of the post code, then the country,
then all countries.

>>> fuel = Surcharge(service_code="ROAD", valid_from=date(2026, 3, 1), name="fuel surcharge", country="*",
...                  basis_points=1450)
>>> far = Surcharge(service_code="ROAD", valid_from=date(2026, 1, 1), name="remote area surcharge", country="GB",
...                 post_codes="HS IV ZE", amount_minor=1800, currency="EUR")
>>> found = surcharges_of([fuel, far], "ROAD", country="GB", post_code="IV1 1AA", as_of=date(2026, 3, 2))
>>> [(one.name, amount_of(one, 1090)) for one in found]
[('fuel surcharge', 158), ('remote area surcharge', 1800)]

Limits: surcharges by size or kind of goods aren't modelled; where a bill names one, it is a difference of its own.
Beginnings are compared as text without spaces: ``B`` takes in ``BT`` too, so name ``B1`` to ``B9`` where that matters.
"""

from collections.abc import Iterable
from datetime import date

from fulfil.records.despatch.tariff import REST, Surcharge


def surcharges_of(
    table: Iterable[Surcharge], service_code: str, *, country: str, post_code: str, as_of: date
) -> tuple[Surcharge, ...]:
    """The surcharges that hold for a package, one of each name, by name; those of nothing are left out."""
    by_name: dict[str, list[Surcharge]] = {}
    for one in table:
        if one.service_code == service_code and one.valid_from <= as_of:
            by_name.setdefault(one.name, []).append(one)
    code = _plain(post_code)
    found = []
    for name in sorted(by_name):
        newest = max(one.valid_from for one in by_name[name])
        rows = [(_closeness(one, country, code), one) for one in by_name[name] if one.valid_from == newest]
        closest = max((one for one in rows if one[0] >= 0), key=lambda one: one[0], default=None)
        if closest is not None and (closest[1].basis_points or closest[1].amount_minor):
            found.append(closest[1])
    return tuple(found)


def depends_on_post_code(table: Iterable[Surcharge], service_code: str, *, country: str, as_of: date) -> list[str]:
    """Names of the surcharges that only some post codes of a country have, by name."""
    rows = [one for one in table if one.service_code == service_code and one.valid_from <= as_of]
    newest = {one.name: max(other.valid_from for other in rows if other.name == one.name) for one in rows}
    return sorted(
        {one.name for one in rows if one.post_codes and one.country == country and one.valid_from == newest[one.name]}
    )


def amount_of(surcharge: Surcharge, price_minor: int) -> int:
    """What a surcharge adds to a price, in minor units."""
    return percent_of(price_minor, surcharge.basis_points) if surcharge.basis_points else surcharge.amount_minor


def percent_of(price_minor: int, basis_points: int) -> int:
    """Hundredths of a per cent of a price, half up to the minor unit, away from zero.

    >>> percent_of(1000, 1450), percent_of(50, 100), percent_of(-50, 100)
    (145, 1, -1)
    """
    size = (2 * abs(price_minor) * basis_points + 10_000) // 20_000
    return size if price_minor >= 0 else -size


def print_percent(basis_points: int) -> str:
    """Hundredths of a per cent as people write them.

    >>> print_percent(1450), print_percent(900), print_percent(5)
    ('14.5 %', '9 %', '0.05 %')
    """
    whole, rest = divmod(basis_points, 100)
    return f"{whole}.{rest:02d}".rstrip("0").rstrip(".") + " %"


def _closeness(one: Surcharge, country: str, code: str) -> int:
    """-1 where the row isn't for this place, else more the closer it is."""
    if one.country not in (country, REST):
        return -1
    if not one.post_codes:
        return int(one.country == country)
    fitting = [len(_plain(start)) for start in one.post_codes.split() if code.startswith(_plain(start))]
    return 1 + max(fitting) if fitting else -1


def _plain(post_code: str) -> str:
    return "".join(post_code.split()).upper()
