"""The papers around orders as sheets: make list, buy list, partial-shipment note, pull slip, evidence."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from fulfil.counting.budgets import bag_budget, bag_second, bag_worst
from fulfil.counting.count_lines import lot_weight
from fulfil.despatch.claims import BagEvidence, Evidence, evidence_of
from fulfil.despatch.empty_box import package_budget
from fulfil.despatch.package_papers import consignee_lines, packing_list_sheet, shop_lines
from fulfil.errors import StateRefused
from fulfil.papers.elements.counted import counted
from fulfil.papers.orders import evidence, partial_note, pull_slip
from fulfil.papers.orders.evidence import EvidenceBag, EvidenceSheet
from fulfil.papers.orders.partial_note import FollowingLine, PartialNoteSheet
from fulfil.papers.orders.pull_slip import PullRow, PullSlipSheet
from fulfil.papers.repeated import part_looks
from fulfil.papers.sheet import head
from fulfil.papers.stock import buy_list, make_list
from fulfil.papers.stock.buy_list import BuyListSheet
from fulfil.papers.stock.jobs import JobRow
from fulfil.papers.stock.make_list import MakeListSheet
from fulfil.quantities import as_shown, print_grams, print_package_mass
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.equipment import ScaleRecord
from fulfil.records.order import Order
from fulfil.records.part import Part, Supply
from fulfil.records.plan import CountMethod
from fulfil.records.pulled import PulledBag
from fulfil.records.shorts import Job
from fulfil.shop.asking import ByNumber, from_books
from fulfil.standards import dangerous_goods
from fulfil.stock.jobs import Lack, lacking, open_jobs
from fulfil.store.books import Books
from fulfil.weighing.budget import Budget
from fulfil.weighing.independence import SecondWeighing
from fulfil.weighing.worst_sample import RARE, WorstRisks, chance_words

_STATEMENT = (
    "The probability is that of the bag's own count, given its weight and how often each mistake happens at a bench "
    "(judgement). A count by hand has no such figure. Picker and checker weigh by the same unit weight, so that their "
    "weighings aren't independent; where one piece off could pass, it is said what comes of that."
)


def make_list_sheet(books: Books, *, day: date, at: datetime) -> MakeListSheet:
    """All open jobs of the make-room."""
    return MakeListSheet(
        rows=_rows(books, Supply.MAKE, at), **head(books.settings(), make_list.NUMBERED.number(day), day)
    )


def buy_list_sheet(books: Books, *, day: date, at: datetime) -> BuyListSheet:
    """All open jobs of suppliers."""
    return BuyListSheet(rows=_rows(books, Supply.BUY, at), **head(books.settings(), buy_list.NUMBERED.number(day), day))


def partial_note_sheet(books: Books, order: Order, *, day: date, at: datetime) -> PartialNoteSheet:
    """What is sent of an order, what follows, and by when its made parts are due.

    Raises:
        StateRefused: nothing of the order follows.
    """
    settings = books.settings()
    listed = packing_list_sheet(books, order, day=day)
    due = {job.part_number: job.due for job in open_jobs(books) if job.due is not None and job.supply is Supply.MAKE}
    lines = [
        FollowingLine(
            part_number=line.part_number,
            description=line.description,
            ordered=line.ordered - line.cancelled,
            sent=line.inside + line.sent_before,
            to_follow=line.to_follow,
            expected=_when(due.get(line.part_number), settings.time_zone),
        )
        for line in listed.lines
        if line.to_follow
    ]
    if not lines or not listed.packages:
        raise StateRefused("write the partial-shipment note of order", order.number, "an order of which pieces follow")
    sentences = (
        f"Thank you for order {order.number}. Not everything could be sent at once; the rest follows.",
        "You need do nothing. If you would rather not wait, write to us and we take it off the order.",
    )
    return PartialNoteSheet(
        order_number=order.number,
        from_lines=shop_lines(settings),
        to_lines=consignee_lines(order),
        sentences=sentences,
        lines=tuple(lines),
        contact=_contact(settings.email, settings.phone),
        **head(settings, partial_note.NUMBERED.number(order.number), day),
    )


def pull_slip_sheet(
    books: Books,
    order: Order,
    reason: str,
    tells: Sequence[str],
    pulled: Sequence[PulledBag],
    *,
    day: date,
) -> PullSlipSheet:
    """What the bench must do about a changed order."""
    number = pull_slip.NUMBERED.number(order.number)
    parts = {part.number: part for part in books.find(Part, number=sorted({bag.part_number for bag in pulled}))}
    rows = [
        PullRow(
            bag_code=bag.bag_code,
            walk_number=bag.walk_number,
            cart_position=bag.cart_position,
            was=bag.was,
            part_number=bag.part_number,
            description=parts[bag.part_number].description,
            pieces=bag.pieces,
            bin_code=bag.bin_code,
        )
        for bag in pulled
    ]
    return PullSlipSheet(
        order_number=order.number,
        reason=reason,
        tells=tuple(tells),
        rows=tuple(rows),
        **head(books.settings(), number, day),
    )


def pull_slip_sheets(
    books: Books, number: str, reason: str, tells: Sequence[str], pulled: Sequence[PulledBag], *, day: date
) -> list[PullSlipSheet]:
    """The slip of a changed order; none where there is nothing to do."""
    return (
        [pull_slip_sheet(books, books.need(Order, number), reason, tells, pulled, day=day)] if tells or pulled else []
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
                *evidence_facts(one, settings.time_zone, intervals.get(one.bag.scale_code)),
                *_budget_fact(bag_budget(books, one.bag), bag_worst(books, one.bag)),
                *_second_fact(bag_second(books, one.bag)),
            ),
            p_right=probability(one.p_right),
        )
        for one in found.bags
    )
    packages = {one.package.number: one for one in found.bags if one.package is not None}
    claims = [
        f"Claim {claim.number}, line {claim.line_no}, {claim.part_number}: {claim.cause}"
        + (f", {claim.pieces} pieces." if claim.pieces else ".")
        for claim in found.claims
    ]
    return EvidenceSheet(
        order_number=found.order.number,
        to_lines=consignee_lines(found.order),
        claims=tuple(claims),
        bags=bags,
        packages=tuple(
            " ".join((package_fact(one), *_package_budget(books, one.package))) for _, one in sorted(packages.items())
        ),
        statement=_STATEMENT,
        **head(settings, evidence.NUMBERED.number(found.order.number), day),
    )


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


def _package_budget(books: Books, package: Package | None) -> list[str]:
    """How well a package's weight was known, and that its box was weighed empty."""
    if package is None or package.state is PackageState.UNDONE:
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


def _rows(books: Books, supply: Supply, at: datetime) -> tuple[JobRow, ...]:
    jobs = open_jobs(books, supply)
    parts = {part.number: part for part in books.find(Part, number=sorted({job.part_number for job in jobs}))}
    lacks = lacking(books, at=at)
    zone = books.settings().time_zone
    return tuple(_row(books, job, parts[job.part_number], lacks.get(job.part_number), zone) for job in jobs)


def _row(books: Books, job: Job, part: Part, lack: Lack | None, zone: str) -> JobRow:
    weight = lot_weight(books, part.number, "")
    mass_g = None if weight is None else round(job.pieces_open * weight.record.mean_g, 1)
    return JobRow(
        job_number=job.number,
        **part_looks(part),
        pieces=job.pieces,
        booked_pieces=job.booked_pieces,
        due=_when(job.due, zone),
        orders=tuple(f"{number} ({pieces})" for number, pieces in (lack.waiting if lack else ())),
        weight=""
        if mass_g is None or job.supply is Supply.BUY
        else f"about {print_package_mass(Decimal(str(mass_g)))}",
        packs=_packs(job, part),
        supplier=job.supplier,
        reason="" if job.reason == "short" else job.reason,
        cautions=dangerous_goods.cautions(part.hazard_words) if job.supply is Supply.MAKE else (),
    )


def _packs(job: Job, part: Part) -> str:
    """How many packs hold what is to be bought; nothing where it is sold singly.

    >>> from fulfil.records.revised import revised
    >>> from fulfil.records.tiny import PART
    >>> job = Job(number="J1", part_number=PART.number, pieces=250, supply=Supply.BUY, day=date(2026, 3, 2))
    >>> _packs(job, revised(PART, {"pack_pieces": 100}))
    '3 packs of 100'
    """
    if job.supply is Supply.MAKE or part.pack_pieces == 1:
        return ""
    return f"{counted(-(-job.pieces_open // part.pack_pieces), 'pack')} of {part.pack_pieces}"


def _when(due: datetime | None, zone: str) -> str:
    if due is None:
        return ""
    there = due.astimezone(ZoneInfo(zone))
    return f"{there:%a} {there.day} {there:%b, %H:%M}"


def _contact(email: str, phone: str) -> str:
    ways = " · ".join(word for word in (email, phone) if word)
    return f"Questions: {ways}" if ways else ""


def _pulled_before(books: Books, order: Order, at: datetime) -> tuple[PullSlipSheet, ...]:
    """The slip again, of all bags that were ever pulled of an order."""
    pulled = books.find(PulledBag, order_number=order.number)
    if not pulled:
        raise StateRefused("show the pull slip of order", order.number, "an order of which bags were pulled")
    reasons = "; ".join(dict.fromkeys(bag.reason for bag in pulled))
    return (pull_slip_sheet(books, order, reasons, (), pulled, day=at.date()),)


BY_NUMBER = (
    ByNumber(
        PartialNoteSheet, Order, lambda books, order, at: (partial_note_sheet(books, order, day=at.date(), at=at),)
    ),
    ByNumber(
        EvidenceSheet,
        Order,
        lambda books, order, at: (evidence_sheet(books, evidence_of(books, order.number), day=at.date()),),
    ),
    ByNumber(PullSlipSheet, Order, _pulled_before),
)
BY_NAME = (
    from_books(BuyListSheet, lambda books, at: (buy_list_sheet(books, day=at.date(), at=at),)),
    from_books(MakeListSheet, lambda books, at: (make_list_sheet(books, day=at.date(), at=at),)),
)
