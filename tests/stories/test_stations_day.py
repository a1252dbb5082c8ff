"""A day at four stations at once: a picker with a cart, a checker, a packer and a clerk, each with a tablet.

The shop is the one in the harbour, with two walks. The server is killed in the middle of the work and started again;
every tablet asks again with its key. In the end the books are those of the same day without any page: the same bags,
weighings, packages, manifests, pieces, and the same journal but for the order in which four people's entries came.
"""

import json
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Callable, Container, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event, Thread
from time import sleep

import httpx2
import pytest

from fulfil.bench.devices import add_station
from fulfil.despatch.ship import close_manifest
from fulfil.orders.verify import verify_shop
from fulfil.records.bench import Recount, StationKind
from fulfil.records.despatch.dispatch import Manifest, ManifestState
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.times import BEGUN, ENDED, say_walk
from fulfil.walks.under_way.picking import mark_filled
from tests.harbour_shop import DAY, NOW, key, open_harbour, plan, release
from tests.stations.tablet import PIN, hidden, let_in
from tests.stations.test_same_books import Without, copied, drive

PEOPLE = (("carla", "pick"), ("anna", "check"), ("ben", "pack"), ("dora", "clerk"))
STATIONS = {
    "carla": ("cart-1", "cart"),
    "anna": ("check-1", "check"),
    "ben": ("pack-1", "pack"),
    "dora": ("desk-1", "clerk"),
}
PATIENCE = 6000
"""Tenths of a second that anybody waits for somebody else; on a crowded machine a line takes seconds."""
APART = {"station_answer", "station", "signing_key", "seal_link", "journal_entry", "sqlite_sequence"}
"""Tables that are compared in another way, or that only pages keep."""


def two_walks(folder: Path) -> Path:
    """The shop with two walks on paper, its people and its stations."""
    with open_harbour(folder) as shop:
        for wave in (0, 1):
            for number in range(1 + 3 * wave, 4 + 3 * wave):
                key(shop, f"H-{number}", ("SPRING-2", 2 + number), ("FELT-9", 2), ("SCREW-3", 4), minutes=number)
            plan(shop)
            release(shop, folder)
        let_in(shop, NOW, *PEOPLE, ("mara", "owner"))
        for station, kind in STATIONS.values():
            add_station(shop, station, StationKind(kind), f"code-{station}", at=NOW, person="owner")
    return folder / "harbour.db"


def walks_of(shop: Shop) -> list[str]:
    """The walks in the order of their numbers."""
    with shop.reading() as books:
        return sorted(walk.number for walk in books.find(WalkRecord))


def picked_in_order(shop: Shop, walk: str) -> list[str]:
    """A walk's bags as the cart meets them."""
    with shop.reading() as books:
        bags = books.find(Bag, walk_number=walk)
    return [bag.code for bag in sorted(bags, key=lambda bag: (bag.stop_no, bag.cart_position, bag.code))]


def without_pages(path: Path) -> list[tuple[str, str]]:
    """The same day by the rooms' own steps; the lines of both benches as they were entered."""
    with open_shop(path) as shop:
        walks = walks_of(shop)
        cart = shop.at_station("cart-1")
        for walk in walks:
            say_walk(cart, walk, BEGUN, at=NOW, person="carla")
            for code in picked_in_order(shop, walk):
                mark_filled(cart, code, at=NOW, person="carla")
            say_walk(cart, walk, ENDED, at=NOW, person="carla")
        without = Without(shop, NOW)
        without.pack.state = without.pack.state.__class__(person="ben")
        for walk in walks:
            drive(without, [walk])
        with shop.at_station("desk-1").writing() as books:
            agreed, particulars = Happening.CLOSING_AGREED, {"with": "dora"}
            books.journal(at=NOW, person="mara", event=agreed, subject="ROAD", particulars=particulars)
        close_manifest(shop.at_station("desk-1"), "ROAD", day=DAY, at=NOW, person="dora")
    return without.lines


class Tablet:
    """One person's tablet: it asks until it is answered, always with the same key."""

    def __init__(self, address: str, person: str, done: list[str]) -> None:
        self.station, self.kind = STATIONS[person]
        self.person, self.done = person, done
        self.client = httpx2.Client(
            base_url=address, headers={"Origin": address}, follow_redirects=True, timeout=PATIENCE / 10
        )
        self.client.post("/pair", data={"code": f"code-{self.station}"})
        assert self.client.post("/sign-in", data={"badge": f"@{person}", "pin": PIN}).status_code == 200
        self.shown = self.client.get(f"/{self.kind}").text

    @property
    def in_hand(self) -> str:
        """What the bench's page shows in hand."""
        return hidden(self.shown)["bag"]

    def send(self, line: str, **more: str) -> str:
        """A line, done once however often it is asked for."""
        bag = self.in_hand if self.kind in ("check", "pack") else ""
        form = {"line": line, "key": f"{self.person}-{len(self.done):06}-{id(self) % 997}", "bag": bag, **more}
        for _ in range(PATIENCE):
            try:
                got = self.client.post(f"/{self.kind}", data=form, headers={"X-Part": "1"})
            except httpx2.TransportError:
                sleep(0.1)
                continue
            assert got.status_code == 200, got.text
            self.shown = got.text
            self.done.append(f"{self.person}: {line}")
            return got.text
        raise AssertionError(f"never answered: {line}")


def by_bag(lines: list[str], codes: Container[str]) -> list[tuple[str, list[str]]]:
    """A checker's lines bag by bag: its code, then what was entered for it; others stand by themselves."""
    groups: list[tuple[str, list[str]]] = []
    for line in lines:
        if line in codes or line == "let go":
            groups.append((line, []))
        else:
            groups[-1][1].append(line)
    return groups


@contextmanager
def server(path: Path, port: int) -> Iterator[subprocess.Popen[bytes]]:
    """The pages in a process of their own, killed at the end."""
    words = [sys.executable, "-m", "tests.stations.served_shop", str(path), str(port), NOW.isoformat()]
    with subprocess.Popen(words, cwd=Path(__file__).parents[2]) as process:
        try:
            for _ in range(PATIENCE):
                with socket.socket() as probe:
                    if probe.connect_ex(("127.0.0.1", port)) == 0:
                        break
                sleep(0.1)
            yield process
        finally:
            process.kill()


def until(holds: Callable[[], bool]) -> None:
    """Waits for what somebody else does."""
    for _ in range(PATIENCE):
        if holds():
            return
        sleep(0.1)
    raise AssertionError("somebody waited for ever")


def tables(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every table as it is compared: without the numbers that say in which order rows came."""
    connection = sqlite3.connect(path)
    names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    held = {}
    for name in set(names) - APART:
        columns = [row[1] for row in connection.execute(f"PRAGMA table_info({name})")]
        kept = [column for column in columns if column not in ("id",)]
        held[name] = sorted(connection.execute(f"SELECT {', '.join(kept)} FROM {name}"), key=repr)
    held["journal"] = sorted(
        (str(event), str(subject), str(person), json.dumps(json.loads(particulars), sort_keys=True))
        for event, subject, person, particulars in connection.execute(
            "SELECT event, subject, person, particulars FROM journal_entry "
            "WHERE event NOT IN ('signed in', 'station paired')"
        )
    )
    connection.close()
    return held


@pytest.mark.slow
def test_a_day_of_four_at_once_with_the_server_killed_in_the_middle(tmp_path):
    """Picker, checker, packer and clerk to the same books as without pages; nothing lost, nothing doubled."""
    path = two_walks(tmp_path)
    plain = tmp_path / "plain.db"
    copied(path, plain)
    lines = without_pages(plain)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    done: list[str] = []
    wrong: list[BaseException] = []
    ended = {walk: Event() for walk in _walks(path)}

    with open_shop(path) as shop, server(path, port) as first:
        tablets = {person: Tablet(f"http://127.0.0.1:{port}", person, done) for person, _ in PEOPLE}

        def pick() -> None:
            for walk in ended:
                tablets["carla"].send(f"begin {walk}", walk=walk, who="carla")
                for code in picked_in_order(shop, walk):
                    told = json.loads(tablets["carla"].send(f"filled {code}", walk=walk, who="carla"))
                    assert told["done"], told
                tablets["carla"].send(f"end {walk}", walk=walk, who="carla")
                ended[walk].set()

        def check() -> None:
            bags = {code: walk for walk in ended for code in picked_in_order(shop, walk)}
            for code, rest in by_bag([line for name, line in lines if name == "check"], bags):
                if code in bags:
                    assert ended[bags[code]].wait(PATIENCE / 10)
                tablets["anna"].send(code)
                for line in rest:
                    tablets["anna"].send(line)
                if rest and tablets["anna"].in_hand == code:
                    # A weight that waited for a look was lost with the server: the page asks for both again.
                    for line in rest:
                        tablets["anna"].send(line)

        def pack() -> None:
            for _, line in [one for one in lines if one[0] == "pack"]:
                if line.startswith("H-"):
                    until(lambda line=line: _is_checked(shop, line))
                tablets["ben"].send(line)

        def close() -> None:
            until(lambda: all(order.state is OrderState.PACKED for order in _orders(shop)))
            tablets["dora"].send("close ROAD", second="mara", pin=PIN)

        threads = [Thread(target=_watched(work, wrong), daemon=True) for work in (pick, check, pack, close)]
        for thread in threads:
            thread.start()
        until(lambda: len(done) >= 40 or bool(wrong))
        first.kill()
        first.wait()
        with server(path, port):
            for thread in threads:
                thread.join(PATIENCE / 10)
        for tablet in tablets.values():
            tablet.client.close()
    assert [str(one) for one in wrong] == []
    assert not any(thread.is_alive() for thread in threads)

    ours, theirs = tables(path), tables(plain)
    assert {name for name in theirs if ours[name] != theirs[name]} == set()
    with open_shop(path) as shop:
        assert verify_shop(shop) == ()
        with shop.reading() as books:
            assert {bag.state for bag in books.find(Bag)} == {BagState.PACKED}
            assert {one.state for one in books.find(Manifest)} == {ManifestState.CLOSED}
            assert books.find(Recount)
            assert {order.state for order in books.find(Order)} == {OrderState.SHIPPED}


def _walks(path: Path) -> list[str]:
    with open_shop(path) as shop:
        return walks_of(shop)


def _orders(shop: Shop) -> list[Order]:
    with shop.reading() as books:
        return books.find(Order)


def _is_checked(shop: Shop, number: str) -> bool:
    return any(one.number == number and one.state is OrderState.CHECKED for one in _orders(shop))


def _watched(work: Callable[[], None], wrong: list[BaseException]) -> Callable[[], None]:
    def watched() -> None:
        try:
            work()
        except BaseException as trouble:
            wrong.append(trouble)

    return watched
