"""A house of pages for tests, and tablets that are its stations: with the test client, and served to a real browser."""

import re
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from copy import copy
from datetime import datetime
from itertools import count

import uvicorn
from starlette.testclient import TestClient
from starlette.types import ASGIApp

from fulfil.bench.devices import add_station, signing_key
from fulfil.bench.people import add_person
from fulfil.records.bench import Role, StationKind
from fulfil.stations.house import House
from fulfil.stations.server import make_server
from fulfil.store.shop import Shop

PIN = "4071"
ORIGIN = "http://127.0.0.1"
HOSTS = frozenset({"127.0.0.1"})


def house_of(shop: Shop, clock: Callable[[], datetime]) -> House:
    """The pages of a shop, with time and chance of the test."""
    numbers = count(1)
    key = signing_key(shop, "k" * 64)
    return House(shop=shop, clock=clock, fresh=lambda: f"fresh-{next(numbers):012}", key=key, hosts=HOSTS)


def let_in(shop: Shop, at: datetime, *people: tuple[str, str]) -> None:
    """Adds people as (name, roles), all with one PIN."""
    for name, roles in people:
        asked = [Role(one) for one in roles.split()]
        add_person(shop, name, asked, PIN, salt=name.encode().ljust(16), at=at, person="owner")


class Tablet:
    """One device: a test client that is a station, with somebody signed in."""

    def __init__(self, house: House, station: str, kind: StationKind, person: str = "") -> None:
        self.house, self.station, self.kind = house, station, kind
        self.client = TestClient(make_server(house), base_url=ORIGIN, headers={"Origin": ORIGIN})
        add_station(house.shop, station, kind, f"code-{station}", at=house.clock(), person="owner")
        assert self.client.post("/pair", data={"code": f"code-{station}"}).status_code == 200
        if person:
            assert self.sign_in(person).status_code == 200

    def after_restart(self, house: House) -> "Tablet":
        """The same device, with its cookies, at a server that was started anew."""
        again = copy(self)
        again.house = house
        again.client = TestClient(make_server(house), base_url=ORIGIN, headers={"Origin": ORIGIN})
        for cookie in self.client.cookies.jar:
            again.client.cookies.jar.set_cookie(cookie)
        return again

    def sign_in(self, person: str, pin: str = PIN):
        """Badge and PIN."""
        return self.client.post("/sign-in", data={"badge": f"@{person}", "pin": pin})

    def send(self, line: str, key: str = "", bag: str | None = None, **more: str) -> str:
        """A line as the page's script sends it; the middle of the page that comes back."""
        shown = hidden(self.client.get(f"/{self.kind.value}").text)
        data = {"line": line, "key": key or shown["key"], "bag": shown["bag"] if bag is None else bag, **more}
        got = self.client.post(f"/{self.kind.value}", data=data, headers={"X-Part": "1"})
        assert got.status_code == 200, got.text
        return got.text


def hidden(page: str) -> dict[str, str]:
    """The hidden fields of a page's scan field."""
    entry = page[page.index('class="entry"') :]
    return dict(re.findall(r'type="hidden" name="(\w+)" value="([^"]*)"', entry[: entry.index("</form>")]))


def words(page: str) -> str:
    """What a page says, without its marks."""
    return " ".join(re.sub(r"<[^>]+>", " ", page).split())


@contextmanager
def served(house: House) -> Iterator[str]:
    """The pages on a port of this computer; the address."""
    with listening(make_server(house)) as address:
        yield address


@contextmanager
def listening(app: ASGIApp) -> Iterator[str]:
    """An application on a port of this computer; the address."""
    config = uvicorn.Config(app, host="127.0.0.1", port=0, log_level="error", lifespan="off",
                            timeout_graceful_shutdown=1)  # fmt: skip
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, daemon=True)
    thread.start()
    while not server.started:
        thread.join(0.02)
    try:
        yield f"http://127.0.0.1:{server.servers[0].sockets[0].getsockname()[1]}"
    finally:
        server.should_exit = True
        thread.join(10)
