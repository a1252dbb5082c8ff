"""The answer to a claim: what was counted, weighed and checked of an order, in sentences for its customer.

The same facts, with names and chances, are told to the clerk on the screen (:func:`evidence_facts`).

>>> probability(0.99995), probability(0.981)
('> 99.9 %', '98.1 %')
"""

from datetime import date
from decimal import Decimal
from zoneinfo import ZoneInfo

from fulfil.counting.budgets import bag_budget, bag_second, bag_worst
from fulfil.despatch.claims import BagEvidence, Evidence
from fulfil.despatch.empty_box import package_budget
from fulfil.despatch.package_papers import consignee_lines
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.orders import evidence
from fulfil.papers.orders.evidence import EvidenceBag, EvidenceSheet
from fulfil.papers.sheet import head
from fulfil.quantities import as_shown, print_grams
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.equipment import ScaleRecord
from fulfil.records.part import Part
from fulfil.records.plan import CountMethod
from fulfil.records.settings import Settings
from fulfil.shop.clock import local, local_day
from fulfil.store.books import Books
from fulfil.weighing.budget import Budget
from fulfil.weighing.independence import SecondWeighing
from fulfil.weighing.worst_sample import RARE, WorstRisks, chance_words

_STATEMENT = (
    "'Count right' is the chance that the bag holds exactly this count, by its weight and by how often each mistake "
    "happens at a bench (our judgement). A count by hand has no such figure. Picker and checker weigh by the same unit "
    "weight, so their weighings aren't independent; where one piece off could pass, its row says what that means."
)


def evidence_sheet(books: Books, found: Evidence, *, day: date) -> EvidenceSheet:
    """An order's evidence, for the customer."""
    settings = books.settings()
    parts = {part.number: part for part in books.find(Part, number=sorted({one.bag.part_number for one in found.bags}))}
    intervals = {scale.code: scale.d_g for scale in books.find(ScaleRecord)}
    bags = tuple(
        EvidenceBag(
            bag_code=one.bag.code,
            line_no=one.bag.line_no,
            part_number=one.bag.part_number,
            description=parts[one.bag.part_number].description,
            pieces=one.bag.pieces,
            facts=(
                *customer_facts(one, settings, intervals.get(one.bag.scale_code)),
                *_budget_fact(bag_budget(books, one.bag), bag_worst(books, one.bag)),
                *_second_fact(bag_second(books, one.bag)),
            ),
            p_right=probability(one.p_right),
        )
        for one in found.bags
    )
    packages = {one.package.number: one for one in found.bags if one.package is not None}
    claims = [
        f"Your claim {claim.number}, line {claim.line_no}, {claim.part_number}: {claim.cause}"
        + (f", {claim.pieces} pieces." if claim.pieces else ".")
        for claim in found.claims
    ]
    return EvidenceSheet(
        order_number=found.order.number,
        to_lines=consignee_lines(found.order),
        claims=tuple(claims),
        bags=bags,
        packages=tuple(
            " ".join((package_words(one.package), *_package_budget(books, one.package)))
            for _, one in sorted(packages.items())
            if one.package
        ),
        statement=" ".join((*_chances(found), *_tests(found, settings), _STATEMENT)),
        **head(settings, evidence.NUMBERED.number(found.order.number), day),
    )


def customer_facts(one: BagEvidence, settings: Settings, d_g: Decimal | None) -> tuple[str, ...]:
    """How a bag was counted and what its check found, for its customer: two sentences at most, no names.

    A bag counted by hand isn't proven by a weight, so that no weight is said of it.
    """
    bag = one.bag
    checked = _checked(one, settings)
    if bag.lower_g is None or bag.upper_g is None:
        return (f"Counted piece by piece{checked}.",)
    window = f"{_digits(bag.lower_g, d_g)} and {print_grams(_digits(bag.upper_g, d_g))}"
    net = {
        CountMethod.TARE: " without its bag",
        CountMethod.POUR: f" without its bag, {bag.pours} times {bag.pour_pieces} pieces",
    }.get(bag.method, " with its bag")
    last = one.weighings[-1].indication_g if one.weighings else None
    weighed = "" if last is None else f": {last:f} g on scale {one.weighings[-1].scale_code}"
    return (f"Weighed{net}{weighed}, right between {window}{checked}.",)


def _checked(one: BagEvidence, settings: Settings) -> str:
    """By whom it was checked, without a name, and when."""
    if not one.checks:
        return ", not checked yet"
    at = one.checks[-1].at
    day, time = day_words(local_day(at, settings)), local(at, settings)
    return f", checked by a second person on {day} at {time:%H:%M}"


def _chances(found: Evidence) -> list[str]:
    """With which chance a weighed bag passes that is a piece short or over, at most, over the order's bags."""
    chances = [
        max(one.bag.p_pass_one_short or 0, one.bag.p_pass_one_over or 0) for one in found.bags if one.bag.lower_g
    ]
    if not chances:
        return []
    return [f"The chance that a weighed bag passes one piece short or over: {chance_words(max(chances))}."]


def _tests(found: Evidence, settings: Settings) -> list[str]:
    """When the scales were last tested."""
    standings = {one.standing.scale_code: one.standing for one in found.bags if one.standing is not None}
    return [
        f"Scale {code} {'passed' if each.has_passed else 'failed'} its check-weight test on "
        f"{day_words(local_day(each.checked_at, settings))}."
        for code, each in sorted(standings.items())
    ]


def package_words(package: Package) -> str:
    """What a customer is told of a package's weight."""
    if package.gross_g is None:
        return f"Package {package.number}: not weighed yet."
    return f"Package {package.number}: {package.gross_g:f} g when it was sealed; {package.expected_g:f} g expected."


def evidence_facts(one: BagEvidence, time_zone: str, d_g: Decimal | None = None) -> list[str]:
    """What was done with a bag, in sentences; ``d_g`` is the scale interval that the window's digits follow."""
    zone = ZoneInfo(time_zone)
    facts = []
    bag = one.bag
    if bag.lower_g is not None and bag.upper_g is not None:
        short, over = chance_words(bag.p_pass_one_short or 0), chance_words(bag.p_pass_one_over or 0)
        chances = f"one piece short passes with a chance of {short}, one over of {over}"
        if short == over:
            chances = f"one piece short or over passes with a chance of {short}"
        window = f"{_digits(bag.lower_g, d_g)} and {print_grams(_digits(bag.upper_g, d_g))}"
        how = {
            CountMethod.TARE: " net, the scale tared first",
            CountMethod.POUR: f" net, {bag.pours} pours of {bag.pour_pieces}, the scale tared before each",
        }.get(bag.method, "")
        facts.append(f"Accepted between {window}{how}, on scale {bag.scale_code}; {chances}.")
    else:
        facts.append(f"Counted by hand: {bag.reason or 'no scale here proves this count'}.")
    for weighing in one.weighings:
        when = f"{weighing.at.astimezone(zone):%Y-%m-%d %H:%M}"
        simulated = " (simulated)" if weighing.is_simulated else ""
        facts.append(
            f"Weighed {weighing.indication_g:f} g on scale {weighing.scale_code} at {when} by {weighing.person}: "
            f"{weighing.verdict}{simulated}."
        )
    if not one.weighings and one.checks:
        last = one.checks[-1]
        facts.append(f"Checked at {last.at.astimezone(zone):%Y-%m-%d %H:%M} by {last.person}: {bag.state}.")
    if one.standing is not None:
        said = "passed" if one.standing.has_passed else "failed"
        facts.append(f"The scale {said} its check weights on {one.standing.checked_at.astimezone(zone):%Y-%m-%d}.")
    elif one.weighings:
        facts.append("The scale has no check-weight test on record.")
    return facts


def _budget_fact(budget: Budget | None, worst: WorstRisks | None) -> list[str]:
    """How well the bag's weight is known, what most of that comes from, and its risks for an unlucky sample."""
    if budget is None:
        return []
    share = f"{budget.share(budget.largest) * 100:.0f} %"
    facts = [
        f"The weight of a right bag is known to {budget.u_g:.2g} g (standard uncertainty); "
        f"{share} of the variance is the {budget.largest.name}."
    ]
    if worst is not None and worst.p_pass >= RARE:
        passes = chance_words(worst.p_pass)
        facts.append(f"With the most unlucky sample of twenty, a bag one piece off passes with a chance of {passes}.")
    return facts


def _package_budget(books: Books, package: Package) -> list[str]:
    """How well a package's weight was known, and that its box was weighed empty."""
    if package.state is PackageState.UNDONE:
        return []
    budget = package_budget(books, package)
    empty = "" if package.empty_g is None else f"Its empty box was weighed first: {package.empty_g:f} g. "
    share = f"{budget.share(budget.largest) * 100:.0f} %"
    known = f"What it should weigh was known to {budget.u_g:.2g} g (standard uncertainty)"
    return [f"{empty}{known}; {share} of the variance was the {budget.largest.name}."]


def _second_fact(second: SecondWeighing | None) -> list[str]:
    """That the checker's weighing isn't independent of the picker's, and what would be."""
    return [] if second is None or second.first < RARE else [f"{second.sentence}."]


def _digits(mass_g: Decimal, d_g: Decimal | None) -> Decimal:
    return mass_g if d_g is None else as_shown(mass_g, d_g)


def package_fact(one: BagEvidence) -> str:
    """What was sealed and weighed of a package."""
    package = one.package
    if package is None:
        return ""
    if package.gross_g is None:
        return f"Package {package.number} is not weighed yet; expected {package.expected_g:f} g."
    where = f", on manifest {package.manifest_number}" if package.manifest_number else ""
    return (
        f"Package {package.number} weighed {package.gross_g:f} g when it was sealed, expected {package.expected_g:f} g "
        f"(accepted {package.lower_g:f} to {package.upper_g:f} g; the lack of a bag of "
        f"{package.visible_from_g:f} g or more would have been seen){where}."
    )


def probability(p_right: float | None) -> str:
    """A probability as printed: never 100 %."""
    if p_right is None:
        return ""
    return "> 99.9 %" if p_right > 0.999 else f"{100 * p_right:.1f} %"
