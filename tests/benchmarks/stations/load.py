"""Twenty check benches at once against PostgreSQL: how long a verdict takes, and that none is lost or doubled.

``python -m tests.benchmarks.stations.load [--stations 20] [--seconds 60] [--servers 2] [--pause 3]``. Each station is a
tablet of its own that scans a bag, weighs it right, and rests for ``--pause`` seconds; beside it stays the page's
stream of what is done at its bench, as in a browser. The stations are shared out over several server processes of one
shop, and each commit waits for the disk. A verdict is timed from the post of the weight to the last byte of the page.
At the end the books are asked: as many passed bags and weighings as verdicts were shown, each bag weighed once.

The tablets share the machine with what they measure, so they are plain sockets in one loop; the processor time of each
process is printed beside the verdicts. So is the driver's kind: ``python`` where the wheel of ``psycopg[binary]``,
which fulfil asks for, is missing; then a verdict takes twice as long.
"""

import argparse
import asyncio
import gzip
import os
import socket
import subprocess
import sys
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles
from time import monotonic, perf_counter, process_time, sleep
from urllib.parse import urlencode

from psycopg import pq

from fulfil.bench.devices import add_station, pair_station, sign_in, signing_key
from fulfil.bench.people import add_person
from fulfil.records.bench import Role, StationKind
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from fulfil.stations import tickets
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, make_bench_shop
from tests.on_postgresql import databases
from tests.stations.tablet import PIN, hidden

BAGS = 8


def main(stations: int, seconds: float, servers: int, pause_s: float) -> None:
    """Drives the load and prints what it took."""
    store = databases()
    store.make("load")
    store.waits_for_the_disk()
    address = store.url("load").render_as_string(hide_password=False)
    orders = stations * max(1, round(seconds / (pause_s + 0.03) / BAGS) + 1)
    make_bench_shop(address, orders=orders, bags=BAGS)
    waits: list[float] = []
    wrong: list[str] = []
    with open_shop(address) as shop, ExitStack() as stack:
        cookies = [_signed_in(shop, number) for number in range(stations)]
        served = [_served(stack, address) for _ in range(servers)]
        with shop.reading() as books:
            bags = [bag for bag in books.find(Bag) if bag.method.is_weighed]
        own = process_time()
        ends = monotonic() + seconds

        async def all_of_them() -> None:
            tablets = []
            for number in range(stations):
                mine = [bag for bag in bags if (int(bag.order_number.removeprefix("O-")) - 1001) % stations == number]
                tablet = Tablet(served[number % servers][0], cookies[number], number / stations)
                tablets.append(_station(tablet, mine, ends, pause_s, waits, wrong))
            await asyncio.gather(*tablets)

        asyncio.run(all_of_them())
        busy = [f"tablets {process_time() - own:.0f} s", *(f"server {_busy_s(pid):.0f} s" for _, pid in served)]
        _report(shop, waits, wrong, seconds, busy)


def _signed_in(shop: Shop, number: int) -> dict[str, str]:
    """The cookies of a tablet that is paired, with its person signed in: one address may not try so often."""
    worker = add_person(shop, f"p{number}", [Role.CHECK], PIN, salt=os.urandom(16), at=AT, person="owner")
    add_station(shop, f"check-{number}", StationKind.CHECK, f"code-{number}", at=AT, person="owner")
    station = pair_station(shop, f"code-{number}", f"token-{number}", at=AT)
    sign_in(shop, station, worker, f"ticket{number}", at=AT)
    key = signing_key(shop, "k" * 64)
    signed = tickets.sign(key, station.name, f"ticket{number}", seen_s=int(AT.timestamp()))
    return {"station": f"token-{number}", "ticket": signed}


def _served(stack: ExitStack, address: str) -> tuple[int, int]:
    """A server process; its port, and its number."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = int(free.getsockname()[1])
    words = [sys.executable, "-m", "tests.stations.served_shop", address, str(port), AT.isoformat()]
    process = stack.enter_context(subprocess.Popen(words, stdout=subprocess.DEVNULL))
    stack.callback(process.kill)
    while True:
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return port, process.pid
        sleep(0.1)


def _busy_s(pid: int) -> float:
    """The processor time of a process so far, in seconds (Linux, proc(5): fields 14 and 15 of ``stat``)."""
    fields = Path(f"/proc/{pid}/stat").read_text("ascii").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


@dataclass
class Tablet:
    """A device on one connection that is kept, as a browser keeps it; ``phase`` is its share of the first pause."""

    port: int
    cookies: dict[str, str]
    phase: float
    reader: asyncio.StreamReader | None = None
    writer: asyncio.StreamWriter | None = None

    async def ask(self, path: str, form: dict[str, str] | None = None) -> str:
        """The answer to a page that is asked for, or to a form that is posted."""
        if self.writer is None:
            self.reader, self.writer = await asyncio.open_connection("127.0.0.1", self.port)
        assert self.reader is not None
        self.writer.write(self._request(path, form))
        head = (await self.reader.readuntil(b"\r\n\r\n")).decode("ascii").lower()
        assert head.startswith("http/1.1 200"), head
        length = int(head.partition("content-length: ")[2].partition("\r\n")[0])
        body = await self.reader.readexactly(length)
        return (gzip.decompress(body) if "content-encoding: gzip" in head else body).decode()

    async def listen(self) -> None:
        """The page's stream of what is done at its bench; what it tells is not looked at."""
        reader, writer = await asyncio.open_connection("127.0.0.1", self.port)
        writer.write(self._request("/bench/moves", None))
        while await reader.read(4096):
            pass

    def _request(self, path: str, form: dict[str, str] | None) -> bytes:
        host = f"127.0.0.1:{self.port}"
        lines = [
            f"{'GET' if form is None else 'POST'} {path} HTTP/1.1",
            f"Host: {host}",
            f"Origin: http://{host}",
            "Accept-Encoding: gzip",
            f"Cookie: {'; '.join(f'{name}={value}' for name, value in self.cookies.items())}",
        ]
        body = urlencode(form or {}).encode()
        if form is not None:
            lines += ["X-Part: 1", "Content-Type: application/x-www-form-urlencoded", f"Content-Length: {len(body)}"]
        return "\r\n".join([*lines, "", ""]).encode() + body


async def _station(
    tablet: Tablet, bags: list[Bag], ends: float, pause_s: float, waits: list[float], wrong: list[str]
) -> None:
    """One tablet, until the time is over or its bags are."""
    shown = await tablet.ask("/check")
    stream = asyncio.create_task(tablet.listen())
    await asyncio.sleep(pause_s * tablet.phase)
    order = ""
    for place, bag in enumerate(bags):
        if monotonic() >= ends:
            break
        lines = [bag.code, f"{bag.target_g:.2f}"]
        if order not in ("", bag.order_number) and "let go" in shown:
            lines.insert(0, "let go")
        order = bag.order_number
        took = 0.0
        for step, line in enumerate(lines):
            form = {"line": line, "key": f"bag-{place:06}-{step}", "bag": hidden(shown)["bag"]}
            began = perf_counter()
            shown = await tablet.ask("/check", form)
            took = perf_counter() - began
        if "Looks right" in shown and 'class="shown passed"' not in shown:
            form = {"line": "ok", "key": f"bag-{place:06}-ok", "bag": hidden(shown)["bag"]}
            began = perf_counter()
            shown = await tablet.ask("/check", form)
            took = perf_counter() - began
        if 'class="shown passed"' in shown:
            waits.append(took)
        else:
            wrong.append(f"{bag.code}: {shown[shown.index('<main') :][:200]}")
        await asyncio.sleep(pause_s)
    stream.cancel()


def _report(shop: Shop, waits: list[float], wrong: list[str], seconds: float, busy: list[str]) -> None:
    with shop.reading() as books:
        passed = books.count(Bag, state=BagState.PASSED)
        subjects = [one.subject for one in books.find(WeighingRecord)]
    high = quantiles(waits, n=20)[-1] if len(waits) > 1 else float("nan")
    load = os.getloadavg()[0]
    print(f"{len(waits)} verdicts in {seconds:.0f} s, {len(waits) / seconds:.1f} a second, load {load:.0f}")
    print(f"median {1000 * median(waits):.0f} ms, 95 % {1000 * high:.0f} ms, longest {1000 * max(waits):.0f} ms")
    print(f"lost {len(waits) - passed}, doubled {len(subjects) - len({*subjects})}, not passed {len(wrong)}")
    print(f"processor time: {', '.join(busy)}; driver: {pq.__impl__}")
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
