"""One visit to a page: which station it is, who is signed in there, what was posted; and the answers every page gives.

A page is a function of the house and the visit, run in a thread of its own, since the shop's steps wait for the disk.
"""

import re
from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from http.cookies import CookieError
from pathlib import Path
from urllib.parse import parse_qsl

from jinja2 import Environment, FileSystemLoader, StrictUndefined, select_autoescape
from starlette.concurrency import run_in_threadpool
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from fulfil.bench.devices import LONGEST, signed_in, station_of
from fulfil.records.bench import Person, Station, StationKind
from fulfil.stations import tickets
from fulfil.stations.house import House
from fulfil.stations.posted_file import PostedFile, read_form
from fulfil.stations.unbroken import unbroken

STATION, TICKET = "station", "ticket"
HOME = {
    StationKind.CHECK: "/check",
    StationKind.PACK: "/pack",
    StationKind.CART: "/cart",
    StationKind.CLERK: "/clerk",
    StationKind.MAKE_ROOM: "/make-room",
    StationKind.SCALE: "/scale",
    StationKind.WALL: "/wall",
}
"""The page of each kind of station."""
UNMANNED = (StationKind.WALL, StationKind.SCALE)
"""Nobody signs in at these."""
_TEMPLATES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)
_TEMPLATES.filters["as_said"] = lambda state: {"stop": "stopped"}.get(state, state)
_TEMPLATES.filters["key_of"] = lambda line: re.sub(r"[^A-Za-z0-9]+", "-", line)[:20]
_YEARS_S = 5 * 365 * 24 * 3600


@dataclass(frozen=True)
class Visit:
    """A request: ``station`` and ``worker`` are None where nobody said who they are, or nobody believes it.

    ``is_part`` says that the page's own script asks, which puts only the middle of the page in its place. ``query`` is
    what stands after the path, ``host`` the name by which the server was called, ``file`` what came with the form.
    """

    at: datetime
    path: str
    form: Mapping[str, str]
    station: Station | None
    worker: Person | None
    ticket: str
    client: str
    is_part: bool
    query: Mapping[str, str]
    host: str
    port: int
    file: PostedFile | None = None


Page = Callable[[House, Visit], Response]


def page(house: House, work: Page) -> Callable[[Request], Awaitable[Response]]:
    """A page as the server calls it."""

    async def answer(request: Request) -> Response:
        try:
            body = await request.body() if request.method == "POST" else b""
        except ClientDisconnect:
            return Response("That is too long for a bench.", 413)
        return await run_in_threadpool(_answer, house, work, request, body)

    return answer


def worked_at(kind: StationKind) -> Callable[[Page], Page]:
    """A page for one kind of station, with somebody signed in; whoever is not is led to where they can be."""

    def wrap(work: Page) -> Page:
        def guarded(house: House, visit: Visit) -> Response:
            if visit.station is None or (visit.worker is None and kind is not StationKind.WALL):
                return lead(visit, "/")
            if visit.station.kind is not kind:
                return lead(visit, HOME[visit.station.kind])
            return work(house, visit)

        return guarded

    return wrap


def lead(visit: Visit, path: str) -> Response:
    """To another page; the script of a page is told so, and goes there."""
    if visit.is_part:
        return Response(status_code=409, headers={"X-Go": path})
    return RedirectResponse(path, 303)


def shown(template: str, visit: Visit, /, status: int = 200, **facts: object) -> HTMLResponse:
    """A page, or its middle for a script."""
    given = {"station": visit.station, "worker": visit.worker, "is_part": visit.is_part, **facts}
    return HTMLResponse(rendered(template, given), status)


def rendered(template: str, given: Mapping[str, object]) -> str:
    """A page, or its middle, as text."""
    return unbroken(_TEMPLATES.get_template(template).render(given))


def _answer(house: House, work: Page, request: Request, body: bytes) -> Response:
    at = house.clock()
    cookies = _cookies(request)
    with house.shop.reading() as books:
        station = station_of(books, cookies.get(STATION, ""))
        ticket, worker = "", None
        if station is not None:
            idle_s, now_s = int(house.idle.total_seconds()), int(at.timestamp())
            signed = cookies.get(TICKET, "")
            ticket = tickets.read(house.key, station.name, signed, now_s=now_s, idle_s=idle_s)
            worker = signed_in(books, station, ticket, at=at)
    form, file = read_form(request.headers.get("content-type", ""), body)
    if not form and file is None:
        form = dict(parse_qsl(body.decode("utf-8", "replace"), keep_blank_values=True))
    client = request.client.host if request.client else ""
    is_part = request.headers.get("x-part") == "1"
    visit = Visit(
        at,
        request.url.path,
        form,
        station,
        worker,
        ticket,
        client,
        is_part,
        dict(request.query_params),
        request.url.hostname or "",
        request.url.port or 80,
        file,
    )
    try:
        answer = work(house, visit)
    except Exception as trouble:
        answer = shown("fault.html", visit, 500, says=house.report(trouble))
    if worker is not None and station is not None and "set-cookie" not in answer.headers:
        keep_ticket(house, answer, station, ticket, at)
    return answer


def keep_ticket(house: House, answer: Response, station: Station, ticket: str, at: datetime) -> None:
    """Gives the browser the ticket, shown now."""
    signed = tickets.sign(house.key, station.name, ticket, seen_s=int(at.timestamp()))
    _set(house, answer, TICKET, signed, int(LONGEST.total_seconds()))


def keep_token(house: House, answer: Response, token: str) -> None:
    """Makes the browser's device a station."""
    _set(house, answer, STATION, token, _YEARS_S)


def drop_ticket(house: House, answer: Response) -> None:
    """Takes the ticket away."""
    _set(house, answer, TICKET, "", 0)


def _set(house: House, answer: Response, name: str, value: str, age_s: int) -> None:
    answer.set_cookie(name, value, max_age=age_s, httponly=True, samesite="strict", secure=house.is_secure)


def _cookies(request: Request) -> Mapping[str, str]:
    try:
        return request.cookies
    except CookieError:
        return {}
