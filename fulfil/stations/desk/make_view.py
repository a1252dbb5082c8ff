"""What the make-room's page shows: the jobs by when they are due, one of them in hand, and what is on no job yet."""

from dataclasses import dataclass
from datetime import datetime

from fulfil.counting.scale_checks import usable_scales
from fulfil.records.part import Part, Supply
from fulfil.records.place import Bin
from fulfil.records.shorts import Job
from fulfil.shop.clock import local
from fulfil.stock.jobs import lacking, open_jobs, waiting_for
from fulfil.store.books import Books


@dataclass(frozen=True)
class Made:
    """A job with what its part looks like, when it is due, who waits, and into which bins it may go."""

    job: Job
    looks: str
    description: str
    due: str
    kind: str
    orders: tuple[str, ...]
    bins: tuple[str, ...]


@dataclass(frozen=True)
class MakeView:
    """The page; ``chosen`` is the job in hand, ``not_asked`` the parts that are short and on no job."""

    jobs: tuple[Made, ...]
    chosen: Made | None
    scales: tuple[str, ...]
    not_asked: tuple[str, ...]


def make_view(books: Books, *, at: datetime, job: str = "") -> MakeView:
    """The page at one moment."""
    jobs = open_jobs(books, Supply.MAKE)
    parts = {part.number: part for part in books.find(Part, number=sorted({one.part_number for one in jobs}))}
    rows = tuple(sorted((_made(books, one, parts[one.part_number], at) for one in jobs), key=_urgent))
    covered: dict[str, int] = {}
    for one in jobs:
        covered[one.part_number] = covered.get(one.part_number, 0) + one.pieces_open
    made_here = {part.number for part in books.find(Part, supply=Supply.MAKE)}
    missing = tuple(
        f"{lack.pieces - covered.get(number, 0)} of {number}"
        for number, lack in sorted(lacking(books, at=at).items())
        if number in made_here and lack.pieces > covered.get(number, 0)
    )
    chosen = next((one for one in rows if one.job.number == job), None)
    return MakeView(rows, chosen, tuple(scale.code for scale in usable_scales(books)), missing)


def _urgent(one: Made) -> tuple[bool, str, str]:
    return one.job.due is None, one.job.due.isoformat() if one.job.due else "", one.job.number


def _made(books: Books, job: Job, part: Part, at: datetime) -> Made:
    due, kind = "no order waits", ""
    if job.due is not None:
        when, now = local(job.due, books.settings()), local(at, books.settings())
        due = f"by {when:%H:%M}" if when.date() == now.date() else f"by {when:%a %d %b %H:%M}"
        kind = "late" if job.is_late(at) else ""
    return Made(
        job,
        " · ".join(word for word in (part.family, part.size, part.finish) if word),
        part.description,
        due,
        kind,
        tuple(waiting_for(books, part.number)),
        tuple(sorted(place.code for place in books.find(Bin, part_number=part.number))),
    )
