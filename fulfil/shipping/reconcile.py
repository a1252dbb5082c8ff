"""The end of a day, reconciled: every difference named, with its cause and its money, the dearest first.

Five comparisons: pieces ordered against shipped, packages against manifests, declared masses against weighed ones, a
package with what else the books say of it (:mod:`fulfil.shipping.contradictions`), and what the carrier bills against
what was agreed. Each difference has a code made of its cause, subject and numbers, so
that a person's word on it (settled, or carried over) holds for exactly this difference:

>>> from fulfil.shipping.differences import reconcile_one
>>> found = reconcile(lines=[LineBalance("A-1", 1, "BALL-3", ordered=50, shipped=40, short=0, held=0, cancelled=0)],
...     line_values={("A-1", 1): (20, "EUR")}, packages=[], manifests=[], bills=[])
>>> [(one.cause.value, one.money_minor, one.currency) for one in found]
[('pieces in hand', 20, 'EUR')]
>>> found[0].code == reconcile_one(found[0].cause, found[0].subject, found[0].says).code
True

Ranked by the amount at stake as it stands, larger first; amounts of unlike currencies are compared by their major
units, since no rate is invented; then by cause and subject.

Surcharges are compared one by one where the bill names them. One that follows the price by its per cent belongs to
whatever is wrong with the price; any other is a difference of its own.

Limits: a bill is compared with our own tables. Where it doesn't name its surcharges, whole charges are compared.
"""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from math import ceil

from fulfil.records.despatch.carrier_bill import BilledSurcharge, BillLine
from fulfil.records.despatch.tariff import Charge
from fulfil.shipping.balance import LineBalance
from fulfil.shipping.contradictions import contradictions
from fulfil.shipping.differences import Cause, Difference, ManifestFacts, PackageFacts, major_units
from fulfil.shipping.surcharges import percent_of
from fulfil.standards import iso4217

_Named = dict[tuple[str, int], dict[str, int]]
"""Surcharges that the lines of bills name: amounts by name, by bill number and line number."""


_STATES = {"planned": "planned, not sealed", "stop": "stopped at its weighing"}
_FIRST = {
    "planned": "weigh and seal it, then ",
    "stop": "read what stops it (fulfil packages pack {order}) and put it right or hold the order, then ",
}
"""What comes before its manifest, by a package's own word."""


def reconcile(
    *,
    lines: Iterable[LineBalance],
    line_values: Mapping[tuple[str, int], tuple[int, str]],
    packages: Sequence[PackageFacts],
    manifests: Sequence[ManifestFacts],
    bills: Sequence[BillLine],
    billed_surcharges: Iterable[BilledSurcharge] = (),
) -> tuple[Difference, ...]:
    """All differences, ranked. ``line_values`` gives the value of a line's pieces in hand, in minor units."""
    named: _Named = defaultdict(dict)
    for one in billed_surcharges:
        named[one.bill_number, one.line_no][one.name] = one.amount_minor
    known = {package.number: package for package in packages}
    found = [
        *_pieces(lines, line_values),
        *_packages(packages),
        *_manifests(manifests, known),
        *_masses(packages),
        *(one for package in packages for one in contradictions(package)),
        *_bills(bills, known, named, manifests),
    ]
    return tuple(sorted(found, key=_rank))


def _rank(one: Difference) -> tuple[Decimal, int, str, str]:
    return (-major_units(one), list(Cause).index(one.cause), one.subject, one.says)


def _pieces(lines: Iterable[LineBalance], values: Mapping[tuple[str, int], tuple[int, str]]) -> Iterable[Difference]:
    for line in lines:
        if not line.in_hand:
            continue
        money, currency = values.get((line.order_number, line.line_no), (0, ""))
        subject = f"order {line.order_number}, line {line.line_no}"
        cause = Cause.PIECES_IN_HAND if line.in_hand > 0 else Cause.PIECES_OVER
        yield Difference(cause, subject, line.says, line.do, money, currency)


def _packages(packages: Iterable[PackageFacts]) -> Iterable[Difference]:
    for package in packages:
        if package.waits:
            says = f"is {_STATES.get(package.state, package.state)} and on no closed manifest"
            first = _FIRST.get(package.state, "").format(order=package.order_number)
            do = f"{first}close a manifest for service {package.service_code}"
            money, currency = (package.charge_minor, package.charge.currency) if package.charge else (0, "")
            yield Difference(Cause.NOT_SHIPPED, f"package {package.number}", says, do, money, currency)
        if package.lacks:
            papers = " and its ".join(package.lacks)
            says, do = f"lacks its {papers}", f"print it: fulfil packages papers {package.order_number} --out papers"
            if package.manifest_number:
                says = f"left without its {papers}"
                do = "tell the carrier and the consignee, and send the paper after it"
            yield Difference(Cause.NO_CUSTOMS_PAPER, f"package {package.number}", says, do)


def _manifests(manifests: Sequence[ManifestFacts], known: Mapping[str, PackageFacts]) -> Iterable[Difference]:
    times = Counter(number for manifest in manifests for number, _ in manifest.rows)
    where: dict[str, list[str]] = defaultdict(list)
    for manifest in manifests:
        subject = f"manifest {manifest.number}"
        weight_g = sum((mass_g for _, mass_g in manifest.rows), Decimal(0))
        if (manifest.packages, manifest.weight_g) != (len(manifest.rows), weight_g):
            says = (
                f"says {manifest.packages} packages and {manifest.weight_g:f} g, its rows are {len(manifest.rows)} "
                f"and {weight_g:f} g"
            )
            yield Difference(Cause.MANIFEST_TOTAL, subject, says, "compare the signed paper with its rows")
        for number, _ in manifest.rows:
            where[number].append(manifest.number)
            if number not in known:
                says = f"names package {number}, which the books don't have"
                yield Difference(Cause.UNKNOWN_ON_MANIFEST, subject, says, "compare with the signed paper")
        of_books = {one.number for one in known.values() if one.manifest_number == manifest.number}
        for number in sorted(of_books - {number for number, _ in manifest.rows}):
            says = f"lacks package {number}, which the books say left with it"
            yield Difference(Cause.MANIFEST_TOTAL, subject, says, "ask the carrier whether it was handed over")
    for number in sorted(number for number, count in times.items() if count > 1):
        says = f"is on manifests {', '.join(where[number])}"
        do = "ask the carrier which collection took it; void the other entry"
        yield Difference(Cause.SHIPPED_TWICE, f"package {number}", says, do)


def _masses(packages: Iterable[PackageFacts]) -> Iterable[Difference]:
    for package in packages:
        subject = f"package {package.number}"
        if package.gross_g is None:
            continue
        if package.weighed_g is not None and package.weighed_g != package.gross_g:
            says = f"is declared with {package.gross_g:f} g, the scale said {package.weighed_g:f} g"
            yield Difference(Cause.DECLARED_MASS, subject, says, "correct the papers, or tell the carrier")
        if package.declared_net_g is not None and package.declared_net_g > package.gross_g:
            says = f"declares {package.declared_net_g} g net to customs and weighs {package.gross_g:f} g gross"
            yield Difference(Cause.DECLARED_MASS, subject, says, "look for a wrong unit weight or a missing bag")


def passed_over(
    bills: Sequence[BillLine], manifest_of: Mapping[str, str], manifests: Sequence[ManifestFacts]
) -> set[str]:
    """Manifests of which no package is billed, of a service and between two days of which one bill has packages."""
    facts = {manifest.number: manifest for manifest in manifests}
    days: dict[tuple[str, str], list[date]] = defaultdict(list)
    billed = set()
    for line in bills:
        manifest = facts.get(manifest_of.get(line.package_number, ""))
        if manifest is not None and manifest.day is not None:
            billed.add(manifest.number)
            days[line.bill_number, manifest.service_code].append(manifest.day)
    return {
        one.number
        for one in manifests
        for (_, service), found in days.items()
        if one.number not in billed and one.service_code == service
        if one.day is not None and min(found) <= one.day <= max(found)
    }


def _bills(
    bills: Sequence[BillLine],
    known: Mapping[str, PackageFacts],
    named: _Named,
    manifests: Sequence[ManifestFacts],
) -> Iterable[Difference]:
    by_package: dict[str, list[BillLine]] = defaultdict(list)
    for line in sorted(bills, key=lambda line: (line.bill_number, line.line_no)):
        by_package[line.package_number].append(line)
    billed_manifests = set()
    for number, lines in sorted(by_package.items()):
        package = known.get(number)
        if package is None:
            for line in lines:
                says = f"bill {line.bill_number}, line {line.line_no} charges for a number that isn't ours"
                do = "ask the carrier whose it is; don't pay it"
                yield Difference(Cause.BILLED_UNKNOWN, number, says, do, line.charge_minor, line.currency)
            continue
        if package.manifest_number:
            billed_manifests.add(package.manifest_number)
        yield from _billed(package, lines, named)
    billed_manifests |= passed_over(bills, {one.number: one.manifest_number for one in known.values()}, manifests)
    for package in known.values():
        is_due = package.manifest_number in billed_manifests and not package.is_void and package.charge is not None
        if is_due and package.charge is not None and package.number not in by_package:
            says = f"left with manifest {package.manifest_number} and isn't on the carrier's bill"
            do = "ask the carrier whether it was scanned; expect it on the next bill"
            money = -package.charge_minor
            yield Difference(Cause.NOT_BILLED, f"package {package.number}", says, do, money, package.charge.currency)


def _billed(package: PackageFacts, lines: Sequence[BillLine], named: _Named) -> Iterable[Difference]:
    """Bill lines of one known package: the first charge is the bill, more are doubles, credits lower them."""
    subject = f"package {package.number}"
    first = next((line for line in lines if line.charge_minor >= 0), lines[0])
    others = [line for line in lines if line is not first]
    where = f"bill {first.bill_number}, line {first.line_no}"
    if not package.manifest_number or package.is_void:
        what = "was void on its manifest" if package.is_void else "is on no closed manifest"
        for currency in sorted({line.currency for line in lines}):
            money = sum(line.charge_minor for line in lines if line.currency == currency)
            says = f"{where} charges for it, but it {what}"
            yield Difference(Cause.BILLED_NOT_SHIPPED, subject, says, "ask for a credit", money, currency)
        return
    for currency in sorted({line.currency for line in others}):
        more = [line for line in others if line.currency == currency]
        excess = sum(line.charge_minor for line in more)
        if excess:
            rest = ", ".join(f"bill {line.bill_number}, line {line.line_no}" for line in more)
            cause = Cause.BILLED_TWICE if excess > 0 else Cause.BILLED_PRICE
            says = f"{where} charges for it, and so does {rest}"
            says = says if excess > 0 else f"{where} charges for it, {rest} gives a credit"
            do = "ask for a credit" if excess > 0 else "find out what the credit is for"
            yield Difference(cause, subject, says, do, excess, currency)
    yield from _compared(package, first, where, named.get((first.bill_number, first.line_no), {}))


def _compared(package: PackageFacts, line: BillLine, where: str, named: Mapping[str, int]) -> Iterable[Difference]:
    """One billed package against our own charge: the first cause that explains it, and surcharges that it doesn't."""
    subject = f"package {package.number}"
    charge = package.charge
    if charge is None:
        says = f"{where} charges for it, our price table has no price"
        do = "compare with the carrier's offer, then complete prices.csv"
        yield Difference(Cause.BILLED_UNPRICED, subject, says, do, line.charge_minor, line.currency)
        return
    over = line.charge_minor - package.charge_minor
    ours = iso4217.print_money(package.charge_minor, charge.currency)
    theirs = iso4217.print_money(line.charge_minor, line.currency)
    if line.currency != charge.currency:
        says = f"{where} charges {theirs}, agreed were {ours}"
        yield Difference(
            Cause.BILLED_CURRENCY, subject, says, "ask for a bill as agreed", line.charge_minor, line.currency
        )
    elif line.service_code and line.service_code != package.service_code:
        says = f"{where} charges {theirs} for service {line.service_code}, it went with {package.service_code} ({ours})"
        yield Difference(Cause.BILLED_SERVICE, subject, says, "ask for a credit", over, line.currency)
    else:
        added = list(_surcharges(package, line, where, named))
        yield from added
        over -= sum(one.money_minor for one in added)
        theirs = iso4217.print_money(package.charge_minor + over, charge.currency)
        yield from _weight_or_price(package, charge, line, f"{where} charges {theirs}", ours, over)


def _weight_or_price(
    package: PackageFacts, charge: Charge, line: BillLine, charges: str, ours: str, over: int
) -> Iterable[Difference]:
    subject = f"package {package.number}"
    if not _is_our_weight(line, package, charge):
        says = f"{charges} for {line.billed_g:f} g, we have {charge.chargeable_g} g ({ours})"
        do = "send the carrier the weighing of the package"
        yield Difference(Cause.BILLED_WEIGHT, subject, says, do, over, line.currency)
    elif over:
        says = f"{charges}, agreed were {ours}"
        yield Difference(Cause.BILLED_PRICE, subject, says, "compare with the price table", over, line.currency)


def _surcharges(package: PackageFacts, line: BillLine, where: str, named: Mapping[str, int]) -> Iterable[Difference]:
    """Surcharges of a line that are neither as agreed nor follow its price by their per cent; none where unnamed."""
    if not named:
        return
    price_minor = line.charge_minor - sum(named.values())
    agreed = {one.name: one for one in package.surcharges}
    for name in sorted({*named, *agreed}):
        ours = agreed.get(name)
        due_minor = ours.amount_minor if ours else 0
        if ours and ours.basis_points:
            due_minor = percent_of(price_minor, ours.basis_points)
        over = named.get(name, 0) - due_minor
        if over:
            theirs = iso4217.print_money(named.get(name, 0), line.currency)
            due = iso4217.print_money(due_minor, line.currency) if due_minor else "none"
            says = f"{where} adds {theirs} {name}, agreed was {due}"
            do = "compare with surcharges.csv, then ask for a credit"
            yield Difference(Cause.BILLED_SURCHARGE, f"package {package.number}", says, do, over, line.currency)


def _is_our_weight(line: BillLine, package: PackageFacts, charge: Charge) -> bool:
    """A bill may name the chargeable weight or the gross mass; either is right when it is ours to its last digit."""
    if line.billed_g is None or line.billed_g == charge.chargeable_g:
        return True
    if line.billed_step_g is not None:
        ours = [Decimal(charge.chargeable_g), *(() if package.gross_g is None else (package.gross_g,))]
        if any(abs(line.billed_g - mass_g) < line.billed_step_g for mass_g in ours):
            return True
    return package.gross_g is not None and ceil(line.billed_g) == ceil(package.gross_g)
