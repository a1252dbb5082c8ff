"""The packing bench's page: bags into their box by their scans, then the weight, then the papers of the order."""

from dataclasses import replace
from datetime import datetime

from starlette.responses import Response

from fulfil.bench.pack_station import PackBench
from fulfil.bench.pack_words import LACKS
from fulfil.checking.packing import PackageFacts
from fulfil.despatch.abroad.papers_due import lacks_of
from fulfil.records.bench import StationKind
from fulfil.records.despatch.dispatch import Package
from fulfil.shop.clock import local_day
from fulfil.stations.house import AnyWork, AtWork, House
from fulfil.stations.lines import take_line
from fulfil.stations.pack_view import pack_view
from fulfil.stations.scales import scales_at
from fulfil.stations.visit import Visit, lead, shown, worked_at

PATH = "/pack"


@worked_at(StationKind.PACK)
def show(house: House, visit: Visit) -> Response:
    """The bench as it is."""
    assert visit.station is not None  # noqa: S101
    at_work = house.pack_bench(visit.station.name)
    with at_work.lock:
        house.catch_up(at_work)
        return _page(house, visit, at_work, None)


@worked_at(StationKind.PACK)
def take(house: House, visit: Visit) -> Response:
    """One line for the bench; the page after it."""
    assert visit.station is not None  # noqa: S101
    assert visit.worker is not None  # noqa: S101
    at_work = house.pack_bench(visit.station.name)
    with at_work.lock:
        before = at_work.bench.state.package
        take_line(house, visit, at_work, lambda: _in_hand(at_work))
        print_packed(house, at_work, visit.worker.name, visit.at)
        weighed = None if before is None else (before, visit.form.get("line", ""))
        return _page(house, visit, at_work, weighed) if visit.is_part else lead(visit, PATH)


def print_packed(house: House, at_work: AnyWork, person: str, at: datetime) -> None:
    """Prints the papers of orders that were just packed; what they lacked until then is said no more."""
    bench = at_work.bench
    if not isinstance(bench, PackBench):
        return
    orders, bench.packed[:] = list(bench.packed), []
    for order in orders:
        printed = house.print_order(order, person, bench.bench)
        with house.shop.reading() as books:
            day = local_day(at, books.settings())
            lacks = lacks_of(books, books.find(Package, order_number=order), day=day)
        says = [line for line in at_work.say.lines if lacks or not line.startswith(LACKS)]
        at_work.say = replace(at_work.say, lines=(*says, *printed))


def _in_hand(at_work: AtWork[PackBench]) -> str:
    """A package is in hand as long as it stays as it was: opened again it is another moment."""
    package = at_work.bench.state.package
    return "" if package is None else package.number


def _page(house: House, visit: Visit, at_work: AtWork[PackBench], weighed: tuple[PackageFacts, str] | None) -> Response:
    with house.shop.reading() as books:
        view = pack_view(books, at_work.bench, at_work.say, weighed)
        scales = () if visit.is_part else scales_at(books, StationKind.PACK)
    return shown("pack.html", visit, view=view, key=house.fresh(), moves=at_work.moves, scales=scales)
