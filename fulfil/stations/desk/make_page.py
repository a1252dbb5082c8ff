"""The make-room's page: jobs due, the pieces made weighed or counted in, and a job of which no more will come."""

from starlette.responses import Response

from fulfil.counting.readings import read_grams
from fulfil.errors import WeighingRefused
from fulfil.records.bench import StationKind
from fulfil.records.part import Supply
from fulfil.shop.clock import local_day
from fulfil.stations.desk.lines import Told, take_line
from fulfil.stations.desk.make_view import make_view
from fulfil.stations.house import House
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.stock.jobs import book_in, close_job, make_jobs
from fulfil.store.shop import Shop


@worked_at(StationKind.MAKE_ROOM)
def show(house: House, visit: Visit) -> Response:
    """The jobs as they are."""
    return _page(house, visit, Told(), visit.query.get("job", ""))


@worked_at(StationKind.MAKE_ROOM)
def take(house: House, visit: Visit) -> Response:
    """One thing done; the page after it."""
    assert visit.worker is not None  # noqa: S101
    at, person, form = visit.at, visit.worker.name, visit.form
    with house.shop.reading() as books:
        day = local_day(at, books.settings())

    def book(shop: Shop, job: str) -> tuple[str, ...]:
        counted, gross, tare = (form.get(name, "").strip() for name in ("counted", "gross", "tare"))
        if counted and not (counted.isascii() and counted.isdigit() and len(counted) <= 6):
            raise WeighingRefused("read the count", counted, "a whole number of pieces")
        done = book_in(
            shop,
            job,
            day=day,
            at=at,
            person=person,
            counted=int(counted) if counted else None,
            gross_g=read_grams(gross, "gross") if gross else None,
            tare_g=read_grams(tare or "0", "tare"),
            scale_code=form.get("scale", ""),
            bin_code=form.get("bin", ""),
        )
        left = done.job.pieces_open
        rest = f"{left} still to come." if left else "The job is done."
        says = [f"{done.pieces} pieces of {done.job.part_number} booked in, {done.says}. {rest}"]
        if done.orders:
            walks = "" if done.plan is None else ", ".join(walk.number for walk in done.plan.walks)
            says.append(f"Orders that waited: {', '.join(done.orders)}{f'; on walk {walks}' if walks else ''}.")
        return tuple(says)

    def close(shop: Shop, job: str) -> tuple[str, ...]:
        done = close_job(shop, job, form.get("reason", ""), at=at, person=person)
        return (f"Job {done.number} is closed: no more will come.",)

    def ask(shop: Shop, _: str) -> tuple[str, ...]:
        jobs = make_jobs(shop, Supply.MAKE, day=day, at=at, person=person)
        return (f"{len(jobs)} job{'' if len(jobs) == 1 else 's'} on the list.",)

    told = take_line(house, visit, {"book-in": book, "close": close, "ask": ask})
    job = visit.form.get("line", "").partition(" ")[2] if told.is_refused else ""
    return _page(house, visit, told, job)


def _page(house: House, visit: Visit, told: Told, job: str) -> Response:
    with house.shop.reading() as books:
        view = make_view(books, at=visit.at, job=job)
    typed = visit.form if told.is_refused else {}
    return shown("make_room.html", visit, view=view, told=told, typed=typed, key=house.fresh())
