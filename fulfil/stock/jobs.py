"""What can't be had: jobs for the make-room and for the suppliers, and what happens when their pieces come.

A *job* is one part: how many, for which orders, by when (the earliest cut-off of an order that waits). Asked again,
only what no open job covers yet becomes a new one. Pieces that come are booked in by the job's number, counted by
weight (:mod:`fulfil.weighing.bulk`) or by hand; then the orders that wait for the part, and no others, are planned onto
walks of their own.

Limits: a kit that is short asks for the parts that it lacks, after what is free of them.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from fulfil.errors import StateRefused, WeighingRefused
from fulfil.orders.places import free_bins, kits_of, orders_with
from fulfil.records.despatch.service import Service
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import Owed, OwedBalance, There, bin_move
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.shorts import Job
from fulfil.shop.collecting import collections_of
from fulfil.shop.numbers import next_code
from fulfil.store.books import Books
from fulfil.store.shop import Shop

if TYPE_CHECKING:
    from fulfil.walks.plan import DayPlan
    from fulfil.weighing.bulk import BulkCount

BOOKED_IN = {Supply.MAKE: "made", Supply.BUY: "bought"}


@dataclass
class Lack:
    """What is lacking of a part: for which orders how many, and by when."""

    part_number: str
    waiting: list[tuple[str, int]] = field(default_factory=list)
    due: datetime | None = None

    @property
    def pieces(self) -> int:
        """All that the orders wait for."""
        return sum(pieces for _, pieces in self.waiting)


@dataclass(frozen=True)
class BookedIn:
    """The job as it is now, the pieces booked, how they were counted, and the plan for the orders that waited."""

    job: Job
    pieces: int
    says: str
    orders: tuple[str, ...]
    plan: "DayPlan | None"


def lacking(books: Books, *, at: datetime) -> dict[str, Lack]:
    """What is lacking by part, orders as they came."""
    kits = kits_of(books)
    lines = books.find(OrderLine, order_number=orders_with(books, Owed.SHORT))
    orders = {order.number: order for order in books.find(Order, number=sorted({one.order_number for one in lines}))}
    services = {service.code: service for service in books.find(Service)}
    calendar = collections_of(books)
    margin = timedelta(minutes=books.settings().check_and_pack_minutes)
    free: dict[str, int] = defaultdict(int)
    if kits:
        for place in free_bins(books, books.find(Bin)):
            free[place.part_number] += place.pieces
    found: dict[str, Lack] = {}
    lines = [line for line in lines if line.short_pieces]
    for line in sorted(lines, key=lambda one: (orders[one.order_number].received_at, one.order_number, one.line_no)):
        order = orders[line.order_number]
        for part_number, per in kits.get(line.part_number, ((line.part_number, 1),)):
            pieces = per * line.short_pieces
            if line.part_number in kits:
                covered = min(free[part_number], pieces)
                free[part_number] -= covered
                pieces -= covered
            if pieces:
                lack = found.setdefault(part_number, Lack(part_number))
                lack.waiting.append((order.number, pieces))
                # As for a walk: early enough to check and pack before the next collection that can be reached.
                leaving = calendar.next_leaving(services[order.service_code], at + margin)
                if leaving is not None:
                    due = leaving.at - margin
                    lack.due = due if lack.due is None else min(lack.due, due)
    return found


def make_jobs(shop: Shop, supply: Supply, *, day: date, at: datetime, person: str) -> list[Job]:
    """Makes jobs for what is lacking and on none yet; all open jobs of this supply, the most urgent first."""
    with shop.writing() as books:
        parts = {part.number: part for part in books.find(Part, supply=supply)}
        covered: dict[str, int] = defaultdict(int)
        for job in open_jobs(books, supply):
            covered[job.part_number] += job.pieces_open
        for number, lack in sorted(lacking(books, at=at).items()):
            pieces = lack.pieces - covered[number]
            if number in parts and pieces > 0:
                add_job(books, parts[number], pieces, "short", due=lack.due, day=day, at=at, person=person)
        return open_jobs(books, supply)


def add_job(
    books: Books, part: Part, pieces: int, reason: str, *, due: datetime | None, day: date, at: datetime, person: str
) -> Job:
    """One job for a part."""
    job = Job(
        number=next_code(books, "J", day),
        part_number=part.number,
        supply=part.supply,
        supplier=part.supplier,
        pieces=pieces,
        due=due,
        day=day,
        reason=reason,
    )
    books.add([job])
    particulars = {"part": part.number, "pieces": pieces, "reason": reason}
    books.journal(at=at, person=person, event=Happening.JOB_MADE, subject=job.number, particulars=particulars)
    return job


def open_jobs(books: Books, supply: Supply | None = None) -> list[Job]:
    """Jobs with pieces to come, by supplier, then the most urgent first, then by number."""
    jobs = [job for job in books.open_jobs() if supply is None or job.supply is supply]
    never = datetime.max.replace(tzinfo=UTC)
    return sorted(jobs, key=lambda one: (one.supplier, one.due or never, one.number))


def close_job(shop: Shop, number: str, reason: str, *, at: datetime, person: str) -> Job:
    """Closes a job of which no more will come.

    Raises:
        StateRefused: it is closed already, or the reason is empty.
    """
    with shop.writing() as books:
        job = books.need(Job, number)
        if job.is_closed or not reason.strip():
            raise StateRefused("close the job", number, "an open job and a reason")
        closed = revised(job, {"is_closed": True})
        books.replace([closed])
        books.journal(
            at=at, person=person, event=Happening.JOB_CLOSED, subject=number, particulars={"reason": reason.strip()}
        )
    return closed


def book_in(
    shop: Shop,
    number: str,
    *,
    day: date,
    at: datetime,
    person: str,
    counted: int | None = None,
    gross_g: Decimal | None = None,
    tare_g: Decimal = Decimal(0),
    scale_code: str = "",
    within: int = 0,
    bin_code: str = "",
) -> BookedIn:
    """Books a job's pieces into a bin, and plans the orders that wait for them.

    Counted by hand, or by weight where the 95 % interval is no wider than ``within`` pieces to either side. Without
    ``bin_code`` they go into the part's bin with the fewest pieces (ties by code).

    Raises:
        UnknownRefused: no such job, scale or bin.
        StateRefused: the job is closed, or the part has no bin.
        WeighingRefused: nothing was counted, or the weight can't tell the count that well.
    """
    with shop.writing() as books:
        job = books.need(Job, number)
        if job.is_closed:
            raise StateRefused("book in the job", number, "an open job; this one is closed")
        place = _bin(books, job, bin_code)
        pieces, says = counted or 0, "counted by hand"
        if gross_g is not None:
            by_weight = count_by_weight(books, job.part_number, place.lot, gross_g, tare_g, scale_code)
            pieces, says = by_weight.pieces if counted is None else counted, by_weight.sentence
            if counted is None and max(by_weight.upper - pieces, pieces - by_weight.lower) > within:
                raise WeighingRefused("book in by weight", f"{gross_g} g", f"a count by hand: the weight says {says}")
            if counted is not None and not by_weight.lower <= counted <= by_weight.upper:
                raise WeighingRefused("book in as counted", counted, f"a count that fits the weight: {says}")
        if pieces < 1:
            raise WeighingRefused("book in the job", number, "a gross weight with its scale, or a count by hand")
        came = bin_move(
            part_number=job.part_number,
            bin_code=place.code,
            pieces=pieces,
            reason=BOOKED_IN[job.supply],
            source=number,
            other=There.MAKE_ROOM if job.supply is Supply.MAKE else There.SUPPLIER,
        )
        books.move(stock=[came], at=at, person=person)
        booked = job.booked_pieces + pieces
        job = revised(job, {"booked_pieces": booked, "is_closed": booked >= job.pieces})
        books.replace([job])
        particulars = {"pieces": pieces, "bin": place.code, "counted": says, "gross_g": gross_g, "scale": scale_code}
        books.journal(at=at, person=person, event=Happening.JOB_BOOKED_IN, subject=number, particulars=particulars)
        orders = waiting_for(books, job.part_number)
    from fulfil.walks.plan import plan_day  # loads the compiler

    plan = plan_day(shop, day=day, at=at, person=person, only=orders)[0] if orders else None
    return BookedIn(job, pieces, says, tuple(orders), plan)


def waiting_for(books: Books, part_number: str) -> list[str]:
    """Orders with a line that is short of the part, or of a kit with it."""
    return sorted({one.order_number for one in books.find(OwedBalance, part_number=part_number, place=Owed.SHORT)})


def count_by_weight(
    books: Books, part_number: str, lot: str, gross_g: Decimal, tare_g: Decimal, scale_code: str
) -> "BulkCount":
    """Pieces of a part by weight, with the interval; without a scale's code by the one that shows such readings.

    Raises:
        WeighingRefused: the part has no weighed sample, the reading can't be the scale's, or it is no whole number.
    """
    # Loaded late: a list of jobs weighs nothing.
    from fulfil.counting.count_lines import scale_of
    from fulfil.counting.lot_weights import lot_weight
    from fulfil.counting.readings import scale_for
    from fulfil.weighing.bulk import estimate_pieces

    scale = scale_for(books, scale_code, [gross_g, *([tare_g] if tare_g else [])])
    weight = lot_weight(books, part_number, lot)
    if weight is None or not weight.record.may_accept:
        raise WeighingRefused("count by weight", part_number, "a part of which a sample was weighed; count by hand")
    scale_of(scale).net_g(gross_g)
    indication_u_g = scale_of(scale).window_u_g(float(gross_g))
    counted = estimate_pieces(
        float(gross_g),
        float(tare_g),
        unit_weight_g=weight.record.mean_g,
        unit_weight_u_g=weight.record.u_g,
        piece_sd_g=weight.record.piece_sd_g,
        indication_u_g=indication_u_g,
        tare_u_g=indication_u_g if tare_g else 0.0,
        min_load_g=float(scale.min_g),
    )
    if not counted.fits_a_whole_number:
        raise WeighingRefused(
            "count by weight pieces of",
            f"{counted.odd_pieces:.2f}",
            f"a whole number (s.d. {counted.odd_u:.2g}); check the tare, look for foreign matter and for another part",
        )
    return counted


def _bin(books: Books, job: Job, bin_code: str) -> Bin:
    bins: Sequence[Bin] = [books.need(Bin, bin_code)] if bin_code else books.find(Bin, part_number=job.part_number)
    if not bins:
        raise StateRefused("book in the job", job.number, f"a bin for {job.part_number}; name one in bins.csv")
    return min(bins, key=lambda place: (place.pieces, place.code))
