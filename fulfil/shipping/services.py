"""What a service charges for a package, line by line: zone, dimensional and chargeable weight, price, surcharges.

The dimensional weight is the package's volume over a divisor in cm³/kg; 6000 and 5000 are the divisors of published
rate guides. Sides are rounded first, by the service's own rule; masses are whole grams, always rounded up, so that
a package of 15 000 g stays there and one gram more goes a step on:

>>> dimensional_weight((300, 450, 650), 6000), up_to_step(14_626, 500)
(Fraction(14625, 1), 15000)

The same arithmetic in inches and pounds (published rate guides: 30.4 × 19.6 × 19.5 in, divisor 139 in³/lb, 87 lb):

>>> sides = [round_side(Fraction(side), 1, SideRounding.HALF_UP) for side in ("30.4", "19.6", "19.5")]
>>> [int(side) for side in sides], ceil(dimensional_weight(tuple(sides), 139))
([30, 20, 20], 87)

Charged is the larger of both weights, at least the service's least, up to its weight step; the price is that of the
first row of the zone's table which takes it, and surcharges are added to it (:mod:`fulfil.shipping.surcharges`). The
tables are those in force on the day asked for.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from fulfil.errors import QuantityRefused
from fulfil.records.despatch.service import Service, SideRounding
from fulfil.records.despatch.tariff import REST, Charge, ChargedSurcharge, Price, Surcharge, Zone
from fulfil.records.finding import Finding
from fulfil.shipping.limits import NOT_INSURED, Insured, limits_broken
from fulfil.shipping.surcharges import OF_ALL, Shipped, depends_on_post_code, print_percent, surcharges_of, with_amounts
from fulfil.standards import iso4217

Sides = tuple[int, int, int]


@dataclass(frozen=True)
class QuoteLine:
    """One step of a charge: what, how much, by which rule."""

    label: str
    value: str
    rule: str


@dataclass(frozen=True)
class ChargeableWeight:
    """Whole grams: the mass, the dimensional weight (0 without a divisor), the larger one, what is charged."""

    actual_g: int
    sides_mm: tuple[int, int, int]
    dimensional_g: int
    chargeable_g: int


@dataclass(frozen=True)
class Quote:
    """The charge for one package by one service, with its lines, and its surcharges with their amounts."""

    service_code: str
    zone: str
    valid_from: date
    weight: ChargeableWeight
    up_to_g: int
    price_minor: int
    currency: str
    lines: tuple[QuoteLine, ...]
    surcharges: tuple[tuple[Surcharge, int], ...] = ()

    @property
    def charge_minor(self) -> int:
        """The price with all surcharges."""
        return self.price_minor + sum(amount for _, amount in self.surcharges)

    def charged_surcharges(self, package_number: str) -> list[ChargedSurcharge]:
        """The surcharges as records, by name."""
        return [
            ChargedSurcharge(
                package_number=package_number,
                name=one.name,
                basis_points=0 if one.percent_of else one.basis_points,
                amount_minor=amount,
            )
            for one, amount in self.surcharges
        ]

    def charge(self, package_number: str) -> Charge:
        """The charge as a record, without its surcharges."""
        return Charge(
            package_number=package_number,
            service_code=self.service_code,
            zone=self.zone,
            valid_from=self.valid_from,
            chargeable_g=self.weight.chargeable_g,
            price_minor=self.price_minor,
            currency=self.currency,
        )


@dataclass(frozen=True)
class Offer:
    """What a service says to a package: its quote (None without a price), and what keeps it from going."""

    service: Service
    quote: Quote | None
    findings: tuple[Finding, ...]

    @property
    def can_go(self) -> bool:
        """Whether nothing was found against it; that is no clearance of goods."""
        return not self.findings


def round_side(side: Fraction | int, step: int, rule: SideRounding) -> Fraction:
    """A side rounded to a multiple of ``step`` (same unit) by a named rule; it never becomes zero.

    >>> [round_side(side, 10, rule) for side in (304, 305) for rule in SideRounding]
    [Fraction(304, 1), Fraction(310, 1), Fraction(300, 1), Fraction(305, 1), Fraction(310, 1), Fraction(310, 1)]
    """
    if side <= 0 or step <= 0:
        raise QuantityRefused("round the side", side, "a length and a step above 0")
    steps = Fraction(side) / step
    if rule is SideRounding.UP:
        return Fraction(ceil(steps) * step)
    if rule is SideRounding.HALF_UP:
        return Fraction(max(floor(steps + Fraction(1, 2)), 1) * step)
    return Fraction(side)


def dimensional_weight(sides: Sequence[Fraction | int], divisor: int) -> Fraction:
    """Volume over divisor, exact: grams from millimetres and cm³/kg, pounds from inches and in³/lb."""
    if len(sides) != 3 or min(sides) <= 0 or divisor <= 0:
        raise QuantityRefused("work out the dimensional weight of", sides, "three sides and a divisor above 0")
    return Fraction(sides[0]) * Fraction(sides[1]) * Fraction(sides[2]) / divisor


def up_to_step(mass_g: int, step_g: int) -> int:
    """The smallest multiple of ``step_g`` that is not below ``mass_g``, in whole grams."""
    if mass_g < 0 or step_g <= 0:
        raise QuantityRefused("round up", f"{mass_g} g to {step_g} g", "a mass of 0 or more and a step above 0")
    return -(-mass_g // step_g) * step_g


def chargeable_weight(service: Service, gross_g: Decimal, outside_mm: Sides) -> ChargeableWeight:
    """The weight that a service charges for; ``outside_mm`` in any order.

    >>> from fulfil.records.tiny import SERVICE
    >>> air = SERVICE.model_copy(update={"divisor_cm3_per_kg": 6000, "weight_step_g": 500})
    >>> chargeable_weight(air, Decimal("14000"), (450, 300, 650)).chargeable_g
    15000

    Raises:
        QuantityRefused: a mass or side that isn't above zero.
    """
    if not gross_g.is_finite() or gross_g <= 0:
        raise QuantityRefused("charge for the mass", gross_g, "grams above 0")
    actual_g = ceil(gross_g)
    sides = tuple(round_side(side, service.side_step_mm, service.side_rounding) for side in outside_mm)
    length, width, height = sorted((int(side) for side in sides), reverse=True)
    divisor = service.divisor_cm3_per_kg
    dimensional_g = ceil(dimensional_weight(sides, divisor)) if divisor else 0
    larger_g = max(actual_g, dimensional_g, service.least_charge_g)
    return ChargeableWeight(
        actual_g, (length, width, height), dimensional_g, up_to_step(larger_g, service.weight_step_g)
    )


class Tariffs:
    """Zones, prices and surcharges of all services, ready to be asked."""

    def __init__(self, zones: Iterable[Zone], prices: Iterable[Price], surcharges: Iterable[Surcharge] = ()) -> None:
        self._surcharges = tuple(surcharges)
        self._zones = {(zone.service_code, zone.country): zone.zone for zone in zones}
        self._prices: dict[str, dict[date, dict[str, list[Price]]]] = {}
        for price in sorted(prices, key=lambda price: price.up_to_g):
            table = self._prices.setdefault(price.service_code, {}).setdefault(price.valid_from, {})
            table.setdefault(price.zone, []).append(price)

    def has_prices(self, service_code: str) -> bool:
        """Whether the shop has any price of the service."""
        return service_code in self._prices

    def asks_hazards(self, service_code: str) -> bool:
        """Whether a surcharge of a service depends on the kind of goods."""
        return any(one.hazard for one in self._surcharges if one.service_code == service_code)

    def currency(self, service_code: str, as_of: date) -> str:
        """The currency that a service charges in on a day; empty where no table has begun."""
        tables = self._prices.get(service_code, {})
        begun = [day for day in tables if day <= as_of]
        rows = next(iter(tables[max(begun)].values())) if begun else []
        return rows[0].currency if rows else ""

    def quote(
        self,
        service: Service,
        country: str,
        gross_g: Decimal,
        outside_mm: Sides,
        *,
        as_of: date,
        post_code: str | None = None,
        hazards: Iterable[str] = (),
        insured: Insured = NOT_INSURED,
    ) -> Quote | Finding:
        """The charge of one package, or the finding that the tables have no price for it.

        Without a post code (None) the lines name the surcharges that may come to it. ``hazards`` are the hazard words
        of what is in it, ``insured`` what it is to be insured for.
        """
        source = f"service {service.code}"
        zone = self._zones.get((service.code, country)) or self._zones.get((service.code, REST))
        if zone is None:
            return Finding(source, None, "country", country, "lies in none of its zones", "add it to zones.csv")
        begun = [day for day in self._prices.get(service.code, {}) if day <= as_of]
        if not begun:
            says = "has no prices on this day"
            return Finding(source, None, "valid_from", str(as_of), says, "add its price table to prices.csv")
        valid_from = max(begun)
        weight = chargeable_weight(service, gross_g, outside_mm)
        rows = self._prices[service.code][valid_from].get(zone, [])
        row = next((row for row in rows if row.up_to_g >= weight.chargeable_g), None)
        if row is None:
            most = f"its prices for zone {zone} end at {rows[-1].up_to_g} g" if rows else f"it has none for zone {zone}"
            do = "ask the carrier for its price, or split the package"
            return Finding(source, None, "chargeable_g", str(weight.chargeable_g), most, do)
        lines = _lines(service, country, zone, weight, row, gross_g, outside_mm)
        if insured.minor and insured.currency != row.currency:
            says = f"is insured in {insured.currency}, and the service charges in {row.currency}"
            return Finding(source, None, "insured", insured.currency, says, f"give the insured value in {row.currency}")
        shipped = Shipped(gross_g, outside_mm, frozenset(hazards), insured.minor)
        found = surcharges_of(
            self._surcharges, service.code, shipped, country=country, post_code=post_code or "", as_of=as_of
        )
        added = with_amounts(found, row.price_minor, insured.minor)
        lines += _surcharge_lines(added, row)
        if post_code is None:
            lines += tuple(
                QuoteLine(name, "", "comes to it in some post codes: give the post code")
                for name in depends_on_post_code(self._surcharges, service.code, country=country, as_of=as_of)
                if name not in {one.name for one in found}
            )
        return Quote(service.code, zone, valid_from, weight, row.up_to_g, row.price_minor, row.currency, lines, added)


def offers(
    services: Iterable[Service],
    tariffs: Tariffs,
    *,
    country: str,
    gross_g: Decimal,
    outside_mm: Sides,
    hazards: Iterable[str],
    as_of: date,
    reviewed: Iterable[str] = (),
    package_number: str = "asked for",
    post_code: str | None = None,
    insured: Insured = NOT_INSURED,
) -> tuple[Offer, ...]:
    """What each service says; those that can go first, then cheapest first, then by code.

    ``reviewed`` are restricted hazards that a trained person has looked at.
    """
    words, seen = tuple(hazards), tuple(reviewed)
    longest, second, third = sorted(outside_mm, reverse=True)
    made = []
    for service in services:
        findings = limits_broken(
            service, country, gross_g, (longest, second, third), words, package_number, seen, insured
        )
        quoted = tariffs.quote(
            service, country, gross_g, outside_mm, as_of=as_of, post_code=post_code, hazards=words, insured=insured
        )
        if isinstance(quoted, Finding) and service.reaches(country):
            findings.append(quoted)
        made.append(Offer(service, None if isinstance(quoted, Finding) else quoted, tuple(findings)))
    return tuple(sorted(made, key=_rank))


def _rank(offer: Offer) -> tuple[bool, bool, str, int, str]:
    quote = offer.quote
    if quote is None:
        return (not offer.can_go, True, "", 0, offer.service.code)
    return (not offer.can_go, False, quote.currency, quote.charge_minor, offer.service.code)


def _lines(
    service: Service,
    country: str,
    zone: str,
    weight: ChargeableWeight,
    row: Price,
    gross_g: Decimal,
    outside_mm: Sides,
) -> tuple[QuoteLine, ...]:
    lines = [
        QuoteLine("zone", zone, f"{country} with service {service.code}"),
        QuoteLine("gross mass", f"{weight.actual_g} g", f"{gross_g:f} g up to whole grams"),
    ]
    if service.divisor_cm3_per_kg:
        given = " × ".join(str(side) for side in sorted(outside_mm, reverse=True))
        rounded = " × ".join(str(side) for side in weight.sides_mm)
        rule = "as measured"
        if service.side_rounding is not SideRounding.NONE:
            rule = f"{given} mm, each side {service.side_rounding} to {service.side_step_mm} mm"
        lines.append(QuoteLine("sides", f"{rounded} mm", rule))
        rule = f"volume over {service.divisor_cm3_per_kg} cm³/kg, up to whole grams"
        lines.append(QuoteLine("dimensional weight", f"{weight.dimensional_g} g", rule))
    larger_g = max(weight.actual_g, weight.dimensional_g, service.least_charge_g)
    of = {weight.actual_g: "gross mass", weight.dimensional_g: "dimensional weight"}
    which = of.get(larger_g, f"least charge {service.least_charge_g} g")
    lines.append(
        QuoteLine("chargeable weight", f"{weight.chargeable_g} g", f"{which}, up to steps of {service.weight_step_g} g")
    )
    price = iso4217.print_money(row.price_minor, row.currency)
    rule = f"zone {zone}, up to {row.up_to_g} g, prices from {row.valid_from.isoformat()}"
    return (*lines, QuoteLine("price", price, rule))


def _surcharge_lines(added: Sequence[tuple[Surcharge, int]], row: Price) -> tuple[QuoteLine, ...]:
    """A line for each surcharge and one for the sum; none where nothing is added."""
    lines = []
    for one, amount in added:
        where = f" to post codes {one.post_codes}" if one.post_codes else ""
        rule = _rule(one, row.currency) + where
        rule += f", from {one.valid_from.isoformat()}"
        lines.append(QuoteLine(one.name, iso4217.print_money(amount, row.currency), rule))
    if added:
        total = row.price_minor + sum(amount for _, amount in added)
        lines.append(QuoteLine("charge", iso4217.print_money(total, row.currency), "price and surcharges"))
    return tuple(lines)


def _rule(one: Surcharge, currency: str) -> str:
    """Of what a surcharge is, and for which packages."""
    if one.basis_points:
        of = {"": "the price", OF_ALL: "the price and the other surcharges"}.get(one.percent_of, one.percent_of)
        said = f"{print_percent(one.basis_points)} of {of}"
    elif one.insured_step_minor:
        step = iso4217.print_money(one.insured_step_minor, currency)
        free = iso4217.print_money(one.insured_free_minor, currency)
        said = f"each begun {step} of the insured value" + (f" above {free}" if one.insured_free_minor else "")
    else:
        said = "each package"
    kinds = [
        f"above {one.above_g} g" if one.above_g else "",
        f"longer than {one.above_longest_mm} mm" if one.above_longest_mm else "",
        f"of more than {one.above_length_girth_mm} mm length and girth" if one.above_length_girth_mm else "",
        f"with {one.hazard} goods" if one.hazard else "",
    ]
    return " ".join([said, *(kind for kind in kinds if kind)])
