"""Twenty check benches at once against PostgreSQL: how long a verdict takes, and that none is lost or doubled.

``python -m tests.benchmarks.stations.load [--stations 20] [--seconds 60] [--servers 2] [--pause 3]``. Each station is a
tablet of its own that scans a bag, weighs it right, and rests for ``--pause`` seconds; the stations are shared out over
several server processes of one shop. A verdict is timed from the post of the weight to the last byte of the page. At
the end the books are asked: as many passed bags and weighings as verdicts were shown, each bag weighed once.
"""

import argparse
import os
import socket
import subprocess
import sys
from contextlib import ExitStack
from statistics import median, quantiles
from threading import Thread
from time import monotonic, perf_counter, sleep

import httpx2

from fulfil.bench.devices import add_station, pair_station, sign_in, signing_key
from fulfil.bench.people import add_person
from fulfil.records.bench import Role, StationKind
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from fulfil.stations import tickets
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop
from tests.on_postgresql import databases
from tests.stations.tablet import PIN, hidden

BAGS = 8


def main(stations: int, seconds: float, servers: int, pause_s: float) -> None:
    """Drives the load and prints what it took."""
    store = databases()
    store.make("load")
    address = store.url("load").render_as_string(hide_password=False)
    orders = stations * max(1, round(seconds / (pause_s + 0.1) / BAGS) + 1)
    bench_shop(address, orders=orders, bags=BAGS, positions=10)  # type: ignore[arg-type]
    waits: list[float] = []
    wrong: list[str] = []
    with open_shop(address) as shop, ExitStack() as stack:
        cookies = [_signed_in(shop, number) for number in range(stations)]
        ports = [_served(stack, address) for _ in range(servers)]
        with shop.reading() as books:
            bags = [bag for bag in books.find(Bag) if bag.method.is_weighed]
        ends = monotonic() + seconds
        threads = []
        for number in range(stations):
            mine = [bag for bag in bags if (int(bag.order_number.removeprefix("O-")) - 1001) % stations == number]
            work = (f"http://127.0.0.1:{ports[number % servers]}", cookies[number], mine, ends, pause_s, waits, wrong)
            threads.append(Thread(target=_station, args=work))
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        _report(shop, waits, wrong, seconds)


def _signed_in(shop: Shop, number: int) -> dict[str, str]:
    """The cookies of a tablet that is paired, with its person signed in: one address may not try so often."""
    worker = add_person(shop, f"p{number}", [Role.CHECK], PIN, salt=os.urandom(16), at=AT, person="owner")
    add_station(shop, f"check-{number}", StationKind.CHECK, f"code-{number}", at=AT, person="owner")
    station = pair_station(shop, f"code-{number}", f"token-{number}", at=AT)
    sign_in(shop, station, worker, f"ticket{number}", at=AT)
    key = signing_key(shop, "k" * 64)
    signed = tickets.sign(key, station.name, f"ticket{number}", seen_s=int(AT.timestamp()))
    return {"station": f"token-{number}", "ticket": signed}


def _served(stack: ExitStack, address: str) -> int:
    """A server process; its port."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = int(free.getsockname()[1])
    words = [sys.executable, "-m", "tests.stations.served_shop", address, str(port), AT.isoformat()]
    process = stack.enter_context(subprocess.Popen(words, stdout=subprocess.DEVNULL))
    stack.callback(process.kill)
    while True:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return port
        sleep(0.1)


def _station(
    address: str,
    cookies: dict[str, str],
    bags: list[Bag],
    ends: float,
    pause_s: float,
    waits: list[float],
    wrong: list[str],
) -> None:
    """One tablet, until the time is over or its bags are."""
    with httpx2.Client(base_url=address, headers={"Origin": address}, cookies=cookies, timeout=60) as client:
        shown = client.get("/check").text
        sleep(pause_s * (hash(cookies["station"]) % 20) / 20)
        order = ""
        for place, bag in enumerate(bags):
            if monotonic() >= ends:
                return
            lines = [bag.code, f"{bag.target_g:.2f}"]
            if order not in ("", bag.order_number) and "let go" in shown:
                lines.insert(0, "let go")
            order = bag.order_number
            for step, line in enumerate(lines):
                form = {"line": line, "key": f"bag-{place:06}-{step}", "bag": hidden(shown)["bag"]}
                began = perf_counter()
                shown = client.post("/check", data=form, headers={"X-Part": "1"}).text
                took = perf_counter() - began
            if 'class="shown passed"' in shown:
                waits.append(took)
            elif "Looks right" in shown:
                form = {"line": "ok", "key": f"bag-{place:06}-ok", "bag": hidden(shown)["bag"]}
                began = perf_counter()
                shown = client.post("/check", data=form, headers={"X-Part": "1"}).text
                waits.append(perf_counter() - began)
            else:
                wrong.append(f"{bag.code}: {shown[shown.index('<main') :][:200]}")
            sleep(pause_s)


def _report(shop: Shop, waits: list[float], wrong: list[str], seconds: float) -> None:
    with shop.reading() as books:
        passed = books.count(Bag, state=BagState.PASSED)
        subjects = [one.subject for one in books.find(WeighingRecord)]
    high = quantiles(waits, n=20)[-1] if len(waits) > 1 else float("nan")
    load = os.getloadavg()[0]
    print(f"{len(waits)} verdicts in {seconds:.0f} s, {len(waits) / seconds:.1f} a second, load {load:.0f}")
    print(f"median {1000 * median(waits):.0f} ms, 95 % {1000 * high:.0f} ms, longest {1000 * max(waits):.0f} ms")
    print(f"lost {len(waits) - passed}, doubled {len(subjects) - len({*subjects})}, not passed {len(wrong)}")
    for one in wrong[:3]:
        print(f"  {one}")


if __name__ == "__main__":
    asked = argparse.ArgumentParser()
    asked.add_argument("--stations", type=int, default=20)
    asked.add_argument("--seconds", type=float, default=60)
    asked.add_argument("--servers", type=int, default=2)
    asked.add_argument("--pause", type=float, default=3)
    given = asked.parse_args()
    main(given.stations, given.seconds, given.servers, given.pause)
