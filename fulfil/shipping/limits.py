"""Whether a package may go with the service that the customer chose: country, weight, size and hazards.

Nothing here clears goods: a hazard that a service refuses stops for review by someone who is trained for it.

>>> from fulfil.records.tiny import SERVICE
>>> [finding.says for finding in limits_broken(SERVICE, "DE", Decimal(2500), (300, 200, 100), ("flammable",), "P1")]
["2500 g is above the service's limit of 2000 g", 'the service refuses flammable goods']
"""

from collections.abc import Iterable
from decimal import Decimal

from fulfil.records.finding import Finding
from fulfil.records.service import Service


def limits_broken(
    service: Service,
    country: str,
    gross_g: Decimal,
    outside_mm: tuple[int, int, int],
    hazards: Iterable[str],
    package_number: str,
) -> list[Finding]:
    """What keeps a package from a service, one finding each; empty when nothing was found.

    ``outside_mm`` are the outside length, width and height, longest first.
    """
    found: list[Finding] = []

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
    for hazard in sorted(set(hazards) & set(service.refuses.split())):
        do = "stop for review by a trained person; the supplier's safety data sheet and local codes govern"
        add("hazard", hazard, f"the service refuses {hazard} goods", do)
    return found
