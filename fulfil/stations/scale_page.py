"""A scale that sends by itself: its relay posts steady readings, which the bench beside it takes as at the terminal.

The relay is a station of its own with a token; the bench's signed-in person weighs. Of what it posts a reading counts
once: one load, one weighing, however often it is sent (:mod:`fulfil.checking.reading`). A page that is open at the
bench hears that something was done, and shows it.
"""

from collections.abc import AsyncIterator
from decimal import Decimal, InvalidOperation

from anyio import sleep
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse

from fulfil.bench.check_station import CheckBench
from fulfil.bench.devices import station_of, working_at
from fulfil.bench.pack_station import PackBench
from fulfil.checking.reading import PATTERN, ScaleReading
from fulfil.checking.saying import Say, refused
from fulfil.counting.scale_checks import usable_scale
from fulfil.errors import Refusal
from fulfil.records.bench import Person, Station, StationKind
from fulfil.records.equipment import ScaleRecord
from fulfil.stations.check_page import print_slips
from fulfil.stations.house import AnyWork, House
from fulfil.stations.pack_page import print_packed
from fulfil.stations.visit import STATION, Visit, shown

LOOK_S = 0.15
_QUIET_LOOKS = 100
_LOOKS_FOR_LISTENER = 20
"""Whether anybody still listens costs more to ask than to look: every three seconds."""


def show(house: House, visit: Visit) -> Response:
    """What a relay must know: how the lines read, and the interval of its scale."""
    if visit.station is None or visit.station.kind is not StationKind.SCALE:
        return Response(status_code=403)
    if "scale" not in visit.query:
        return shown("scale.html", visit)
    with house.shop.reading() as books:
        try:
            scale = usable_scale(books, visit.query["scale"])
        except Refusal as refusal:
            return JSONResponse({"says": str(refusal)}, 404)
        pattern = books.settings().scale_line or PATTERN
    return JSONResponse({"line": pattern, "d_g": f"{scale.d_g:f}", "beside": visit.station.serves})


def take(house: House, visit: Visit) -> Response:
    """A steady reading, in grams with the scale's digits."""
    if visit.station is None or visit.station.kind is not StationKind.SCALE:
        return JSONResponse({"taken": False, "says": "This device is no scale: pair it again."}, 403)
    try:
        mass_g = Decimal(visit.form.get("shown", ""))
        with house.shop.reading() as books:
            scale = usable_scale(books, visit.form.get("scale", ""))
            bench = books.need(Station, visit.station.serves)
            worker = working_at(books, bench, at=visit.at)
    except InvalidOperation:
        return JSONResponse({"taken": False, "says": "That is no mass in grams."}, 400)
    except Refusal as refusal:
        return JSONResponse({"taken": False, "says": str(refusal)}, 404)
    at_work = house.bench_of(bench)
    if worker is None or at_work is None or not mass_g.is_finite():
        return JSONResponse({"taken": False, "says": f"Nobody is signed in at {bench.name}."})
    reading = ScaleReading(mass_g)
    with at_work.lock:
        say = weighed(house, visit, at_work, reading, scale, worker)
    return JSONResponse({"taken": say is not None, "says": "" if say is None else say.headline})


def weighed(
    house: House,
    visit: Visit,
    at_work: AnyWork,
    reading: ScaleReading,
    scale: ScaleRecord,
    worker: Person,
) -> Say | None:
    """What the bench says to a reading; None where it is no weighing."""
    house.catch_up(at_work)
    bench = at_work.bench
    wanted = _wanted_scale(bench)
    bench.shop = house.shop.at_station(bench.bench)
    if bench.state.person != worker.name:
        return None
    if wanted and wanted != scale.code and reading.mass_g > 2 * scale.d_g:
        say: Say | None = refused(f"That was scale {scale.code}: put it on {wanted}.")
        if say == at_work.say:
            return None
    else:
        say = bench.weighed(reading, at=visit.at, sent_at_s=visit.at.timestamp())
    if say is not None:
        at_work.say = say
        print_slips(house, at_work)
        print_packed(house, at_work, worker.name, visit.at)
        house.moved(at_work)
    return say


def _wanted_scale(bench: CheckBench | PackBench) -> str:
    """The scale on which what is in hand is weighed; empty where any will do."""
    if isinstance(bench, CheckBench):
        bag = bench.state.bag
        return bag.scale_code if bag is not None and bag.is_weighed and not bench.state.counts else ""
    package = bench.state.package
    return package.scale_code if package is not None else ""


async def moves(house: House, request: Request) -> Response:
    """Counts what is done at this station's bench, for its pages."""
    token = request.cookies.get(STATION, "")
    at_work = await run_in_threadpool(_bench_of, house, token)
    if at_work is None:
        return Response(status_code=403)
    return StreamingResponse(_moves(request, at_work), media_type="text/event-stream")


async def _moves(request: Request, at_work: AnyWork) -> AsyncIterator[str]:
    seen, looks = -1, 0
    while looks % _LOOKS_FOR_LISTENER or not await request.is_disconnected():
        looks += 1
        if at_work.moves != seen or looks >= _QUIET_LOOKS:
            seen, looks = at_work.moves, 0
            yield f"data: {seen}\n\n"
        await sleep(LOOK_S)


def _bench_of(house: House, token: str) -> AnyWork | None:
    with house.shop.reading() as books:
        station = station_of(books, token)
    return None if station is None else house.bench_of(station)
