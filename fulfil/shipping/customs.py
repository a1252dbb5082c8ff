"""What a package declares to customs: its goods by kind, net mass, value, and which papers go with it.

Goods with the same description, commodity code, origin and category are one line. Net masses come from counted pieces;
the declared whole grams add up by the largest remainder (:func:`fulfil.standards.cn22.declared_grams`).

>>> goods = [Goods("SCR-16Z", "steel cap screws for clock movements", "73181595", "DE", 200, Decimal("240.68"), 1200),
...          Goods("SCR-16S", "steel cap screws for clock movements", "731815", "DE", 50, Decimal("60.55"), 450),
...          Goods("BUSH-3", "turned brass bushes for clock movements", "911490", "LU", 12, Decimal("5.10"), 420)]
>>> declared = declare(goods, currency="EUR", gross_g=Decimal(380), subject="package P1")
>>> [(line.hs_code, line.origin, line.pieces, line.net_g, line.value_minor) for line in declared.lines]
[('731815', 'DE', 250, 301, 1650), ('911490', 'LU', 12, 5, 420)]
>>> declared.net_g, declared.value_minor, declared.findings
(306, 2070, ())

A description that says nothing, a missing code or origin is a finding, all of them at once:

>>> vague = declare([Goods("X-1", "spare parts", "", "", 1, Decimal(2), 10)], currency="EUR", gross_g=Decimal(50),
...     subject="package P2")
>>> [finding.field for finding in vague.findings]
['customs_description', 'hs_code', 'origin']

Limits: what the goods are is the shop's own declaration, and no program's. Which papers a destination asks for on top
(licences, certificates, importer's numbers) isn't known here.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from fulfil.errors import CodeRefused
from fulfil.records.despatch.service import ServiceKind
from fulfil.records.finding import Finding
from fulfil.standards import cn22, hs, iso3166, iso4217

MOST_CN22_LINES = 6
"""Lines that a CN 22 label has room for; goods of more kinds take a CN 23 (common practice)."""

SALE = "sale of goods"
"""The category where nobody says another."""
_DO = "correct it in parts.csv and import again"


class Form(StrEnum):
    """The customs paper of a package."""

    NONE = "none"
    CN22 = "CN 22"
    CN23 = "CN 23"
    INVOICE = "commercial invoice"


@dataclass(frozen=True)
class Goods:
    """Counted pieces of one part in one package: net mass in grams, value in minor units, exact."""

    part_number: str
    description: str
    hs_code: str
    origin: str
    pieces: int
    net_g: Decimal
    value_minor: int
    category: str = SALE


@dataclass(frozen=True)
class CustomsLine:
    """One kind of goods; ``hs_code`` has the six digits that all countries share."""

    description: str
    hs_code: str
    origin: str
    pieces: int
    net_g: int
    value_minor: int
    category: str = SALE


@dataclass(frozen=True)
class Declaration:
    """The lines of one package or consignment, and what must be put right before it goes."""

    currency: str
    gross_g: Decimal
    lines: tuple[CustomsLine, ...]
    findings: tuple[Finding, ...]

    @property
    def net_g(self) -> int:
        """Net mass of all lines."""
        return sum(line.net_g for line in self.lines)

    @property
    def value_minor(self) -> int:
        """Value of all lines."""
        return sum(line.value_minor for line in self.lines)

    @property
    def category(self) -> str:
        """The categories of its lines, in the form's order, with commas between."""
        return ", ".join(one for one in cn22.CATEGORIES if any(line.category == one for line in self.lines))

    @property
    def value(self) -> Decimal:
        """Value of all lines, in the currency's major unit."""
        return iso4217.from_minor(self.value_minor, self.currency)


def declare(goods: Iterable[Goods], *, currency: str, gross_g: Decimal, subject: str) -> Declaration:
    """The declaration of goods; findings name every part that can't be declared as it is.

    Lines stand in the order of their value, the largest first, ties by code, origin and description.
    """
    listed = list(goods)
    findings = [finding for one in _parts(listed) for finding in _off(one, subject)]
    if not listed:
        findings.append(Finding(subject, None, "goods", "", "holds nothing to declare", "open it and look"))
    kinds: dict[tuple[str, str, str, str], list[Goods]] = {}
    for one in listed:
        kinds.setdefault((one.description, _six(one.hs_code), one.origin, one.category), []).append(one)
    ranked = sorted(kinds.items(), key=lambda kind: (-sum(one.value_minor for one in kind[1]), kind[0]))
    net_g = cn22.declared_grams([sum((one.net_g for one in group), Decimal(0)) for _, group in ranked])
    lines = tuple(
        CustomsLine(
            description,
            hs_code,
            origin,
            sum(one.pieces for one in group),
            mass_g,
            sum(one.value_minor for one in group),
            category,
        )
        for ((description, hs_code, origin, category), group), mass_g in zip(ranked, net_g, strict=True)
    )
    total_g = sum(net_g)
    if total_g > gross_g:
        says = f"the net masses of its lines are {total_g} g, more than the package's {gross_g:f} g"
        do = "weigh it again, then look for a wrong unit weight or a missing bag"
        findings.append(Finding(subject, None, "net_g", str(total_g), says, do))
    return Declaration(currency, gross_g, lines, tuple(findings))


def form_of(
    declaration: Declaration,
    kind: ServiceKind,
    rate: cn22.SdrRate | None,
    *,
    needs_declaration: bool,
    is_300_sdr_included: bool = True,
    is_parcel: bool = False,
) -> Form:
    """The paper: a postal package takes CN 22 up to 300 SDR and CN 23 above, others a commercial invoice.

    ``is_parcel``: a postal parcel, no letter-post item, takes CN 23 whatever it is worth (CN 22 form text).

    ``rate`` is what the clerk entered for the declaration's currency; without one nobody can say that CN 22 is
    enough, and the package takes CN 23. So do goods of more kinds than a CN 22 has room for.
    """
    if not needs_declaration:
        return Form.NONE
    if kind is ServiceKind.PARCEL:
        return Form.INVOICE
    if rate is None or len(declaration.lines) > MOST_CN22_LINES:
        return Form.CN23
    return Form(cn22.form_for(declaration.value, rate, is_parcel=is_parcel, is_300_sdr_included=is_300_sdr_included))


def _parts(goods: Sequence[Goods]) -> list[Goods]:
    """One of each part, by number."""
    return [one for _, one in sorted({one.part_number: one for one in goods}.items())]


def _off(one: Goods, subject: str) -> list[Finding]:
    where = f"{subject}, part {one.part_number}"
    findings = []
    try:
        cn22.validate_description(one.description)
    except CodeRefused as refusal:
        says = f"customs can't see what it is: expected {refusal.expected}"
        findings.append(Finding(where, None, "customs_description", one.description, says, _DO))
    try:
        hs.parse(one.hs_code)
    except CodeRefused as refusal:
        findings.append(Finding(where, None, "hs_code", one.hs_code, f"expected {refusal.expected}", _DO))
    try:
        iso3166.validate(one.origin)
    except CodeRefused as refusal:
        findings.append(Finding(where, None, "origin", one.origin, f"expected {refusal.expected}", _DO))
    if one.net_g <= 0:
        do = "weigh a sample of the part, or the bag"
        findings.append(Finding(where, None, "net_g", f"{one.net_g:f}", "its mass isn't known", do))
    return findings


def _six(code: str) -> str:
    try:
        return hs.subheading(hs.parse(code))
    except CodeRefused:
        return code
