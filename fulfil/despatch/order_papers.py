"""The papers around orders as sheets: make list, buy list, partial-shipment note, pull slip, evidence."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from fulfil.counting.lot_weights import lot_weight
from fulfil.despatch.claims import evidence_of
from fulfil.despatch.desk.evidence_paper import evidence_sheet
from fulfil.despatch.package_papers import consignee_lines, packing_list_sheet, shop_lines
from fulfil.errors import StateRefused
from fulfil.papers.elements.counted import counted
from fulfil.papers.orders import partial_note, pull_slip
from fulfil.papers.orders.evidence import EvidenceSheet
from fulfil.papers.orders.partial_note import FollowingLine, PartialNoteSheet
from fulfil.papers.orders.pull_slip import PullRow, PullSlipSheet
from fulfil.papers.phrases import language_of, partial_note_words
from fulfil.papers.repeated import part_looks
from fulfil.papers.sheet import head
from fulfil.papers.stock import buy_list, make_list
from fulfil.papers.stock.buy_list import BuyListSheet
from fulfil.papers.stock.jobs import JobRow
from fulfil.papers.stock.make_list import MakeListSheet
from fulfil.quantities import print_package_mass
from fulfil.records.order import Order
from fulfil.records.part import Part, Supply
from fulfil.records.pulled import PulledBag
from fulfil.records.shorts import Job
from fulfil.shop.asking import ByNumber, from_books
from fulfil.standards import dangerous_goods
from fulfil.stock.jobs import Lack, lacking, open_jobs
from fulfil.store.books import Books


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
    also_in = language_of(order.country)
    words = partial_note_words(also_in)
    # Who reads no English still reads the sentences; the shop's own people know the English ones.
    sentences = tuple(words[name].format(order=order.number) for name in ("thanks", "nothing_to_do"))
    return PartialNoteSheet(
        order_number=order.number,
        from_lines=shop_lines(settings),
        to_lines=consignee_lines(order),
        sentences=sentences,
        lines=tuple(lines),
        contact=_contact(words["questions"], settings.email, settings.phone),
        also_in=also_in,
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


def _contact(questions: str, email: str, phone: str) -> str:
    ways = " · ".join(word for word in (email, phone) if word)
    return f"{questions}: {ways}" if ways else ""


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
