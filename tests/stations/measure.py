"""The demo day's bags and packages through the pages of a real server: how long each verdict takes, and the same books.

``python -m tests.stations.measure [WALKS]`` drives all walks, or so many of the shortest. What is measured is what a
tablet waits for: from the post of a line to the last byte of the page's middle. Prints median and 95th percentile.
"""

import sys
from pathlib import Path
from statistics import median, quantiles
from tempfile import mkdtemp
from time import perf_counter

import httpx2
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.station_rehearsal import prepare

from fulfil.bench.devices import add_station
from fulfil.records.bench import StationKind
from fulfil.store.shop import open_shop
from tests.stations.tablet import PIN, hidden, house_of, let_in, served
from tests.stations.test_same_books import Without, copied, drive, must_be_the_same, walks_on_paper


def main(most: int) -> None:
    """Drives the day both ways and prints what it took."""
    folder = Path(mkdtemp())
    path, at = prepare(FOLDER, folder / "demo", {}, salt=lambda: b"s" * 16, people=())
    took: dict[str, list[float]] = {"passed": [], "recount": [], "sealed": [], "stop": [], "other": []}
    with open_shop(path) as shop:
        let_in(shop, at, ("anna", "check pack"))
        house = house_of(shop, lambda: at)
        with served(house) as address:
            clients = {}
            for kind in (StationKind.CHECK, StationKind.PACK):
                add_station(shop, f"{kind}-1", kind, f"code-{kind}-1", at=at, person="owner")
                client = httpx2.Client(base_url=address, headers={"Origin": address}, follow_redirects=True)
                client.post("/pair", data={"code": f"code-{kind}-1"})
                client.post("/sign-in", data={"badge": "@anna", "pin": PIN})
                clients[kind.value] = client
            plain = folder / "plain.sqlite"
            copied(path, plain)
            with open_shop(plain) as other:
                without = Without(other, at)
                drive(without, walks_on_paper(other)[:most])
            shown = {name: hidden(client.get(f"/{name}").text) for name, client in clients.items()}
            for number, (name, line) in enumerate(without.lines):
                asked = {"line": line, "key": f"line-{number:08}", "bag": shown[name]["bag"]}
                began = perf_counter()
                page = clients[name].post(f"/{name}", data=asked, headers={"X-Part": "1"}).text
                seconds = perf_counter() - began
                shown[name] = hidden(page)
                verdict = next((one for one in took if f'class="shown {one}"' in page), "other")
                took[verdict].append(seconds)
    must_be_the_same(path, plain)
    for verdict, waits in took.items():
        if len(waits) > 1:
            high = quantiles(waits, n=20)[-1]
            print(f"{verdict:8} {len(waits):5}: median {1000 * median(waits):.0f} ms, 95 % {1000 * high:.0f} ms")
    print("the same books, row by row")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 1000)
