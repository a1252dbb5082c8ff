"""Whether a package may go with the service that the customer chose: country, weight, size, hazards, insured value.

Nothing here clears goods. A hazard that a service refuses can't go with it; one that it doesn't refuse but that
:mod:`fulfil.standards.dangerous_goods` marks as restricted in transport stops for review by someone who is trained
for it, and goes on only by that person's recorded word (``reviewed``).

>>> from fulfil.records.tiny import SERVICE
>>> [finding.says for finding in limits_broken(SERVICE, "DE", Decimal(2500), (300, 200, 100), ("flammable",), "P1")]
["2500 g is above the service's limit of 2000 g", 'the service refuses flammable goods']
"""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil

from fulfil.records.despatch.service import Service
from fulfil.records.finding import Finding
from fulfil.standards import dangerous_goods, iso4217, upu


@dataclass(frozen=True)
class Insured:
    """What a package is to be insured for, in minor units of a currency; 0 for not at all."""

    minor: int = 0
    currency: str = ""


NOT_INSURED = Insured()


def limits_broken(
    service: Service,
    country: str,
    gross_g: Decimal,
    outside_mm: tuple[int, int, int],
    hazards: Iterable[str],
    package_number: str,
    reviewed: Iterable[str] = (),
    insured: Insured = NOT_INSURED,
) -> list[Finding]:
    """What keeps a package from a service, one finding each; empty when nothing was found.

    ``hazards`` are hazard words and, of lithium cells, UN numbers.
    ``outside_mm`` are the outside length, width and height, longest first. ``reviewed`` are restricted hazards that a
    trained person has looked at; what the service refuses is refused all the same.
    """
    found: list[Finding] = []
    words = sorted(set(hazards))

    def add(field: str, value: object, says: str, do: str) -> None:
        found.append(Finding(f"package {package_number}", None, field, str(value), says, do))

    other = "ask the customer for another service"
    if not service.reaches(country):
        add("country", country, f"service {service.code} does not go to this country", other)
    if service.max_weight_g and gross_g > service.max_weight_g:
        says = f"{gross_g:f} g is above the service's limit of {service.max_weight_g:f} g"
        add("gross_g", gross_g, says, f"split the package, or {other}")
    length, width, height = outside_mm
    if service.max_longest_mm and length > service.max_longest_mm:
        says = f"the longest side is above the service's limit of {service.max_longest_mm} mm"
        add("longest_mm", length, says, f"take a shorter box, or {other}")
    length_girth = length + 2 * (width + height)
    if service.max_length_girth_mm and length_girth > service.max_length_girth_mm:
        says = f"length and girth are above the service's limit of {service.max_length_girth_mm} mm"
        add("length_girth_mm", length_girth, says, f"take a smaller box, or {other}")
    for says in _preset_broken(service.size_preset, outside_mm, gross_g):
        is_weight = says.startswith("weight")
        # The service's own limit has said it already.
        if is_weight and any(one.field == "gross_g" for one in found):
            continue
        add(
            "size_preset",
            service.size_preset,
            says,
            f"{'split the package' if is_weight else 'take another box'}, or {other}",
        )
    if insured.minor:
        asked = iso4217.print_money(insured.minor, insured.currency)
        most = iso4217.print_money(service.insured_up_to_minor, service.insured_currency or insured.currency)
        if not service.insured_up_to_minor:
            add("insured", asked, "the service insures nothing", other)
        elif service.insured_currency != insured.currency:
            add("insured", asked, f"the service insures in {service.insured_currency}, up to {most}", other)
        elif insured.minor > service.insured_up_to_minor:
            add("insured", asked, f"the service insures a package up to {most}", f"split the package, or {other}")
    refused = set(service.refuses.split())
    known = [word for word in words if word in dangerous_goods.HAZARD_WORDS]
    for hazard in words:
        if hazard in refused:
            do = "stop for review by a trained person; the supplier's safety data sheet and local codes govern"
            add("hazard", hazard, f"the service refuses {hazard} goods", do)
        elif hazard in dangerous_goods.stops_for_review(known) and hazard not in set(reviewed):
            do = (
                "stop for review by a trained person, who records it; the carrier's rules, the supplier's safety data "
                "sheet and local codes govern"
            )
            add("hazard", hazard, f"{hazard} goods are restricted in transport", do)
    return found


def _preset_broken(name: str, outside_mm: tuple[int, int, int], gross_g: Decimal) -> tuple[str, ...]:
    if not name:
        return ()
    limits = upu.PRESETS[name]
    if isinstance(limits, upu.RollLimits):
        return upu.broken_roll_limits(
            limits, length_mm=outside_mm[0], diameter_mm=outside_mm[1], weight_g=ceil(gross_g)
        )
    return upu.broken_limits(limits, outside_mm, weight_g=ceil(gross_g))
