"""The server of one shop's pages: its routes, behind the guard.

Style and script are kept by the browser and asked for again by what they hold (ETag), so that it never shows an
old one.
"""

from functools import partial
from hashlib import sha256
from pathlib import Path

from starlette.applications import Starlette
from starlette.middleware.gzip import GZipMiddleware
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route
from starlette.types import ASGIApp

from fulfil.stations import check_page, doors, pack_page, port_page, scale_page, wall_page
from fulfil.stations.cart import cart_page
from fulfil.stations.desk import bill_page, clerk_page, key_page, make_page, orders_page, reading_page
from fulfil.stations.guard import Guard
from fulfil.stations.house import House
from fulfil.stations.visit import Page, page

_STATIC = Path(__file__).parent / "static"
_KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml"}
FILES = {path.name: path.read_bytes() for path in sorted(_STATIC.iterdir()) if path.suffix in _KINDS}


def make_server(house: House) -> ASGIApp:
    """The pages of a shop as an ASGI application."""

    def route(path: str, work: Page, method: str = "GET") -> Route:
        return Route(path, page(house, work), methods=[method])

    pages = [
        route("/", doors.front),
        route("/rehearsal", doors.rehearsal),
        route("/pair", doors.pair, "POST"),
        route("/sign-in", doors.enter, "POST"),
        route("/sign-out", doors.leave, "POST"),
        route("/check", check_page.show),
        route("/check", check_page.take, "POST"),
        route("/check/picture", check_page.picture),
        route("/pack", pack_page.show),
        route("/pack", pack_page.take, "POST"),
        route("/cart", cart_page.show),
        route("/cart", cart_page.take, "POST"),
        Route("/cart-worker.js", _worker),
        route("/clerk", clerk_page.show),
        route("/clerk", clerk_page.take, "POST"),
        route("/clerk/bill", bill_page.show),
        route("/clerk/bill", bill_page.take, "POST"),
        route("/clerk/orders", orders_page.show),
        route("/clerk/orders", orders_page.take, "POST"),
        route("/clerk/reading", reading_page.show),
        route("/clerk/reading", reading_page.take, "POST"),
        route("/clerk/key", key_page.show),
        route("/clerk/key", key_page.take, "POST"),
        route("/make-room", make_page.show),
        route("/make-room", make_page.take, "POST"),
        route("/scale", scale_page.show),
        route("/scale", scale_page.take, "POST"),
        route("/bench/scale", port_page.take, "POST"),
        Route("/bench/moves", partial(scale_page.moves, house)),
        route("/wall", wall_page.show),
        route("/wall/records/{name}", wall_page.records),
        Route("/wall/changes", partial(wall_page.changes, house)),
        Route("/news", partial(wall_page.news, house)),
        Route("/kept/{name}", _kept),
    ]
    packed = GZipMiddleware(Starlette(routes=pages), minimum_size=1000)
    return Guard(packed, hosts=house.hosts, is_secure=house.is_secure)


async def _worker(request: Request) -> Response:
    """What keeps the cart's page on its tablet; it stands here since it may look after pages below its place only."""
    return _file(request, "cart-worker.js")


async def _kept(request: Request) -> Response:
    """Style and script."""
    return _file(request, request.path_params["name"])


def _file(request: Request, name: str) -> Response:
    if name not in FILES:
        return Response(status_code=404)
    digest = sha256(FILES[name]).hexdigest()[:16]
    headers = {"Cache-Control": "no-cache", "ETag": f'"{digest}"'}
    if request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    return Response(FILES[name], media_type=_KINDS[Path(name).suffix], headers=headers)
