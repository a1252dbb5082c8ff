"""The wall's page: read by everybody, worked at by nobody; it changes by itself within a second.

The server looks twice a second whether the journal has grown, which is one step in its index, and sends the page's
middle when it has (server-sent events, HTML Living Standard 9.2).
"""

from collections.abc import AsyncIterator
from urllib.parse import unquote

from anyio import sleep
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import Response, StreamingResponse

from fulfil.bench.devices import station_of
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.stations.house import House
from fulfil.stations.visit import STATION, Visit, rendered, shown, worked_at
from fulfil.stations.wall_facts import wall_facts

LOOK_S = 0.4
QUIET_LOOKS = 50
"""After so many looks at nothing new the page is sent all the same: its clock goes on, its cut-offs come nearer."""


@worked_at(StationKind.WALL)
def show(house: House, visit: Visit) -> Response:
    """The wall as it is."""
    with house.shop.reading() as books:
        return shown("wall.html", visit, wall=wall_facts(books, at=visit.at))


@worked_at(StationKind.WALL)
def records(house: House, visit: Visit) -> Response:
    """The records behind a figure."""
    name = unquote(visit.path.rpartition("/")[2])
    with house.shop.reading() as books:
        wall = wall_facts(books, at=visit.at)
    if name not in wall.records:
        return Response(status_code=404)
    return shown("records.html", visit, name=name, records=wall.records[name])


async def changes(house: House, request: Request) -> Response:
    """The wall's middle, sent anew whenever something was journalled."""
    token = request.cookies.get(STATION, "")
    if not await run_in_threadpool(_is_wall, house, token):
        return Response(status_code=403)
    return StreamingResponse(_events(house, request, token), media_type="text/event-stream")


async def _events(house: House, request: Request, token: str) -> AsyncIterator[str]:
    seen, looks = -1, 0
    while not await request.is_disconnected():
        newest = await run_in_threadpool(_newest, house)
        if newest != seen or looks >= QUIET_LOOKS:
            if not await run_in_threadpool(_is_wall, house, token):
                return
            seen, looks = newest, 0
            page = await run_in_threadpool(_middle, house)
            yield "".join(f"data: {line}\n" for line in page.splitlines()) + "\n"
        looks += 1
        await sleep(LOOK_S)


def _newest(house: House) -> int:
    with house.shop.reading() as books:
        return books.greatest(JournalEntry, "id") or 0


def _middle(house: House) -> str:
    with house.shop.reading() as books:
        wall = wall_facts(books, at=house.clock())
    return rendered("wall.html", {"station": None, "worker": None, "is_part": True, "wall": wall})


def _is_wall(house: House, token: str) -> bool:
    with house.shop.reading() as books:
        station = station_of(books, token)
    return station is not None and station.kind is StationKind.WALL
