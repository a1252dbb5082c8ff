"""What a service adds to its price: fuel, remote areas, oversize, goods of a kind, insurance, whatever its table names.

A surcharge is an amount a package, or for each begun step of its insured value; or a per cent of the price, of another
surcharge, or of the price with all others, each rounded half up to the minor unit. For each name the table that began
last holds; of its rows that fit the package the closest one: the longest beginning of the post code, then the country,
then all countries; then the one from the largest mass on, the longest side, the largest length and girth; then one for
a kind of goods, the first by its word.

>>> fuel = Surcharge(service_code="ROAD", valid_from=date(2026, 3, 1), name="fuel surcharge", country="*",
...                  basis_points=1450, percent_of="*")
>>> far = Surcharge(service_code="ROAD", valid_from=date(2026, 1, 1), name="remote area surcharge", country="GB",
...                 post_codes="HS IV ZE", amount_minor=1800, currency="EUR")
>>> long = Surcharge(service_code="ROAD", valid_from=date(2026, 1, 1), name="long package", country="*",
...                  above_longest_mm=1200, amount_minor=900, currency="EUR")
>>> asked = {"country": "GB", "post_code": "IV1 1AA", "as_of": date(2026, 3, 2)}
>>> found = surcharges_of([fuel, far, long], "ROAD", Shipped(Decimal(800), (1000, 90, 90)), **asked)
>>> [(one.name, amount) for one, amount in with_amounts(found, 1090)]
[('fuel surcharge', 419), ('remote area surcharge', 1800)]

Limits: beginnings of post codes are compared as text without spaces: ``B`` takes in ``BT`` too, so name ``B1`` to
``B9`` where that matters. An insured value is in the currency of the prices.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fulfil.errors import QuantityRefused
from fulfil.records.despatch.tariff import REST, Surcharge

OF_ALL = "*"
"""What a per cent is of: the price and all surcharges that don't ask for all themselves."""


@dataclass(frozen=True)
class Shipped:
    """What of a package decides its surcharges: gross mass, outside sides, hazard words, insured value (0: none)."""

    gross_g: Decimal
    outside_mm: tuple[int, int, int]
    hazards: frozenset[str] = frozenset()
    insured_minor: int = 0


def surcharges_of(
    table: Iterable[Surcharge], service_code: str, shipped: Shipped, *, country: str, post_code: str, as_of: date
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
        rows = sorted(
            (-closeness, -one.above_g, -one.above_longest_mm, -one.above_length_girth_mm, not one.hazard, one.hazard, n)
            for n, one in enumerate(by_name[name])
            if one.valid_from == newest and (closeness := _closeness(one, country, code)) >= 0 and _fits(one, shipped)
        )
        if rows:
            closest = by_name[name][rows[0][-1]]
            if closest.basis_points or closest.amount_minor:
                found.append(closest)
    return tuple(found)


def with_amounts(
    found: Sequence[Surcharge], price_minor: int, insured_minor: int = 0
) -> tuple[tuple[Surcharge, int], ...]:
    """What each of the surcharges of a package adds, in minor units; those that come to nothing are left out.

    Raises:
        QuantityRefused: when per cents are of each other in a circle.
    """
    by_name = {one.name: one for one in found}
    # One that is of all comes last, and so does whatever is a per cent of one of these.
    plain = {name for name in by_name if not _asks_all(name, by_name)}
    known: dict[str, int] = {}

    def amount(name: str) -> int:
        one = by_name[name]
        if name not in known:
            if not one.basis_points:
                known[name] = _amount(one, insured_minor)
            elif one.percent_of == OF_ALL:
                base = price_minor + sum(amount(other) for other in sorted(plain))
                known[name] = percent_of(base, one.basis_points)
            elif one.percent_of:
                base = amount(one.percent_of) if one.percent_of in by_name else 0
                known[name] = percent_of(base, one.basis_points)
            else:
                known[name] = percent_of(price_minor, one.basis_points)
        return known[name]

    return tuple((one, minor) for one in found if (minor := amount(one.name)))


def _asks_all(name: str, by_name: dict[str, Surcharge]) -> bool:
    seen = [name]
    while (one := by_name.get(seen[-1])) is not None and one.basis_points and one.percent_of:
        if one.percent_of == OF_ALL:
            return True
        if one.percent_of in seen:
            raise QuantityRefused("work out the surcharge", name, "no surcharge that is a per cent of itself")
        seen.append(one.percent_of)
    return False


def _amount(one: Surcharge, insured_minor: int) -> int:
    if not one.insured_step_minor:
        return one.amount_minor
    above_minor = max(0, insured_minor - one.insured_free_minor)
    return one.amount_minor * -(-above_minor // one.insured_step_minor)


def _fits(one: Surcharge, shipped: Shipped) -> bool:
    longest, second, third = sorted(shipped.outside_mm, reverse=True)
    return (
        (not one.above_g or shipped.gross_g > one.above_g)
        and (not one.above_longest_mm or longest > one.above_longest_mm)
        and (not one.above_length_girth_mm or longest + 2 * (second + third) > one.above_length_girth_mm)
        and (not one.hazard or one.hazard in shipped.hazards)
    )


def depends_on_post_code(table: Iterable[Surcharge], service_code: str, *, country: str, as_of: date) -> list[str]:
    """Names of the surcharges that only some post codes of a country have, by name."""
    rows = [one for one in table if one.service_code == service_code and one.valid_from <= as_of]
    newest = {one.name: max(other.valid_from for other in rows if other.name == one.name) for one in rows}
    return sorted(
        {one.name for one in rows if one.post_codes and one.country == country and one.valid_from == newest[one.name]}
    )


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
