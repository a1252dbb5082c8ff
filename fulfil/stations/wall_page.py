"""The wall's page: read by everybody, worked at by nobody; it changes by itself within a second.

The server looks twice a second whether there is news (:mod:`fulfil.stations.news`), and sends the page's middle when
there is (server-sent events, HTML Living Standard 9.2). Other pages are told that there is news, and ask by themselves.
"""

from collections.abc import AsyncIterator
from datetime import datetime
from urllib.parse import unquote

from anyio import sleep
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from fulfil.bench.devices import station_of
from fulfil.records.bench import StationKind
from fulfil.stations.house import House
from fulfil.stations.visit import STATION, Visit, rendered, shown, worked_at
from fulfil.stations.wall_facts import WallFacts, wall_facts
from fulfil.store.books import Books

LOOK_S = 0.4
QUIET_LOOKS = 50
"""After so many looks at nothing new the page is sent all the same: its clock goes on, its cut-offs come nearer."""


@worked_at(StationKind.WALL)
def show(house: House, visit: Visit) -> Response:
    """The wall as it is."""
    with house.shop.reading() as books:
        return shown("wall.html", visit, wall=_facts(house, books, visit.at))


@worked_at(StationKind.WALL)
def records(house: House, visit: Visit) -> Response:
    """The records behind a figure."""
    name = unquote(visit.path.rpartition("/")[2])
    with house.shop.reading() as books:
        wall = _facts(house, books, visit.at)
    if name not in wall.records:
        return Response(status_code=404)
    called = {one: says for one, says, _ in wall.figures}
    called |= {f"{row.code} {stage}": f"{row.name}, {stage}" for row in wall.services for stage, _ in row.counts}
    return shown("records.html", visit, name=called[name], records=wall.records[name])


async def news(house: House, request: Request) -> Response:
    """A sign for a desk's page whenever something was journalled."""
    if not await run_in_threadpool(_is_station, house, request.cookies.get(STATION, "")):
        return Response(status_code=403)
    return StreamingResponse(_signs(house, request), media_type="text/event-stream")


async def _signs(house: House, request: Request) -> AsyncIterator[str]:
    seen, looks = await run_in_threadpool(house.news.newest), 0
    while not await request.is_disconnected():
        newest = await run_in_threadpool(house.news.newest)
        if newest != seen:
            seen, looks = newest, 0
            yield f"data: {newest}\n\n"
        elif looks >= QUIET_LOOKS:
            looks = 0
            yield "event: quiet\ndata:\n\n"
        looks += 1
        await sleep(LOOK_S)


async def changes(house: House, request: Request) -> Response:
    """The wall's middle, sent anew whenever something was journalled."""
    token = request.cookies.get(STATION, "")
    if not await run_in_threadpool(_is_wall, house, token):
        return Response(status_code=403)
    return StreamingResponse(_events(house, request, token), media_type="text/event-stream")


async def _events(house: House, request: Request, token: str) -> AsyncIterator[str]:
    seen, looks = -1, 0
    while not await request.is_disconnected():
        newest = await run_in_threadpool(house.news.newest)
        if newest != seen or looks >= QUIET_LOOKS:
            if not await run_in_threadpool(_is_wall, house, token):
                return
            seen, looks = newest, 0
            page = await run_in_threadpool(_middle, house)
            yield "".join(f"data: {line}\n" for line in page.splitlines()) + "\n"
        looks += 1
        await sleep(LOOK_S)


def _facts(house: House, books: Books, at: datetime) -> WallFacts:
    return wall_facts(books, at=at, slow=house.slow.of(books, at))


def _middle(house: House) -> str:
    with house.shop.reading() as books:
        wall = _facts(house, books, house.clock())
    return rendered("wall.html", {"station": None, "worker": None, "is_part": True, "wall": wall})


def _is_station(house: House, token: str) -> bool:
    with house.shop.reading() as books:
        return station_of(books, token) is not None


def _is_wall(house: House, token: str) -> bool:
    with house.shop.reading() as books:
        station = station_of(books, token)
    return station is not None and station.kind is StationKind.WALL
