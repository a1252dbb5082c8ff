"""What is printed at a station goes to the printer beside it, over the printer's own socket, and is said."""

import socket
from pathlib import Path
from threading import Thread
from time import sleep

import pytest
from fulfil_cli.bench.station_papers import StationPapers

from fulfil.bench.check import Seen, check_bag
from fulfil.bench.pack_station import PackBench
from fulfil.records.bench import StationKind
from fulfil.records.equipment import PrinterRecord
from fulfil.records.plan import Bag, CountMethod
from fulfil.shop.printers import set_printer
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, bench_shop
from tests.stations.tablet import Tablet, house_of, let_in


class Printer:
    """A printer's raw socket: it keeps what it is given."""

    def __init__(self) -> None:
        self.listens = socket.create_server(("127.0.0.1", 0))
        self.port = self.listens.getsockname()[1]
        self.got: list[bytes] = []
        Thread(target=self._take, daemon=True).start()

    def _take(self) -> None:
        while True:
            try:
                line, _ = self.listens.accept()
            except OSError:
                return
            with line, line.makefile("rb") as sent:
                self.got.append(sent.read())


@pytest.fixture
def shop(tmp_path: Path):
    """One checked order of two bags."""
    bench_shop(tmp_path / "shop.sqlite", orders=1, bags=2)
    with open_shop(tmp_path / "shop.sqlite") as shop:
        let_in(shop, AT, ("anna", "check pack"))
        with shop.reading() as books:
            bags = books.find(Bag)
        for bag in bags:
            seen = Seen(gross_g=bag.target_g) if bag.method is CountMethod.WEIGH else Seen(counted=bag.pieces)
            check_bag(shop, bag.code, seen, at=AT, person="ben")
        yield shop


def packed_at(shop: Shop, printing: StationPapers) -> str:
    """The order is packed at pack-1; what its page says."""
    house = house_of(shop, lambda: AT)
    house.print_order = printing.order
    tablet = Tablet(house, "pack-1", StationKind.PACK, "anna")
    tablet.send("O-1001")
    bench: PackBench = house.pack_bench("pack-1").bench
    for code in bench.state.package.missing:
        tablet.send(code)
    return tablet.send(f"{bench.state.package.expected_g}")


def printer(shop: Shop, name: str, port: int, papers: str = "") -> None:
    """A printer at a port of this computer; one without papers gets the rest."""
    record = PrinterRecord(name=name, dpi=300, media="A4", papers=papers, sends_to=f"socket 127.0.0.1:{port}")
    set_printer(shop, record, at=AT, person="mara")


def test_papers_go_to_the_printer_beside_the_bench(shop, tmp_path):
    """Its own printer gets them all; the one at another bench gets nothing; the files are kept."""
    ours, theirs = Printer(), Printer()
    printer(shop, "a-far-away", theirs.port)
    printer(shop, "beside-us", ours.port)
    printing = StationPapers(shop, tmp_path / "papers", lambda: AT, {"a-far-away": "pack-2", "beside-us": "pack-1"})
    page = packed_at(shop, printing)

    files = sorted((tmp_path / "papers").glob("*.pdf"))
    for _ in range(100):
        if len(ours.got) == len(files):
            break
        sleep(0.02)
    assert files
    assert sorted(ours.got) == sorted(path.read_bytes() for path in files)
    assert theirs.got == []
    assert f"Sent to 127.0.0.1:{ours.port}" in page
    assert "To print:" not in page


def test_a_printer_that_is_off_undoes_nothing_and_is_said(shop, tmp_path):
    """The package is sealed, its file is there, and the page says to print it by hand."""
    with socket.create_server(("127.0.0.1", 0)) as gone:
        port = gone.getsockname()[1]
    printer(shop, "labels-1", port)
    page = packed_at(shop, StationPapers(shop, tmp_path / "papers", lambda: AT))

    assert 'class="shown sealed"' in page
    assert "Print it by hand." in page
    assert "To print:" in page
    assert list((tmp_path / "papers").glob("*.pdf"))


def test_without_a_printer_the_folder_has_them(shop, tmp_path):
    """As before: files for a person to print."""
    page = packed_at(shop, StationPapers(shop, tmp_path / "papers", lambda: AT))

    assert "To print:" in page
    assert "Sent to" not in page
