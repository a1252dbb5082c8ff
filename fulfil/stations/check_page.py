"""The check bench's page: every line that is scanned, typed or touched goes to the bench as at the terminal."""

from dataclasses import replace
from pathlib import Path

from starlette.responses import FileResponse, Response

from fulfil.bench.check_station import CheckBench
from fulfil.records.bench import StationKind
from fulfil.records.part import Part
from fulfil.stations.check_view import check_view
from fulfil.stations.house import AnyWork, AtWork, House
from fulfil.stations.lines import take_line
from fulfil.stations.scales import scales_at
from fulfil.stations.visit import Visit, lead, shown, worked_at

PATH = "/check"
_PICTURES = {".jpg", ".jpeg", ".png"}


@worked_at(StationKind.CHECK)
def show(house: House, visit: Visit) -> Response:
    """The bench as it is."""
    assert visit.station is not None  # noqa: S101
    at_work = house.check_bench(visit.station.name)
    with at_work.lock:
        house.catch_up(at_work)
        return _page(house, visit, at_work)


@worked_at(StationKind.CHECK)
def take(house: House, visit: Visit) -> Response:
    """One line for the bench; the page after it."""
    assert visit.station is not None  # noqa: S101
    at_work = house.check_bench(visit.station.name)
    with at_work.lock:
        takes_badge = at_work.bench.state.names_picker
        take_line(house, visit, at_work, lambda: _in_hand(at_work), takes_badge=takes_badge)
        print_slips(house, at_work)
        return _page(house, visit, at_work) if visit.is_part else lead(visit, PATH)


@worked_at(StationKind.CHECK)
def picture(house: House, visit: Visit) -> Response:
    """The picture of the part in hand."""
    assert visit.station is not None  # noqa: S101
    bag = house.check_bench(visit.station.name).bench.state.bag
    with house.shop.reading() as books:
        part = books.get(Part, bag.part_number) if bag is not None else None
    path = Path(part.photo_path) if part is not None and part.photo_path else None
    if path is None or path.suffix.lower() not in _PICTURES or not path.is_file():
        return Response(status_code=404)
    return FileResponse(path)


def print_slips(house: House, at_work: AnyWork) -> None:
    """Prints the slips of bags that were just sent back."""
    bench = at_work.bench
    if isinstance(bench, CheckBench) and bench.slips:
        printed = house.print_slips(bench.slips, bench.bench)
        bench.slips.clear()
        at_work.say = replace(at_work.say, lines=(*at_work.say.lines, *printed))


def _in_hand(at_work: AtWork[CheckBench]) -> str:
    bag = at_work.bench.state.bag
    return "" if bag is None else bag.code


def _page(house: House, visit: Visit, at_work: AtWork[CheckBench]) -> Response:
    with house.shop.reading() as books:
        view = check_view(books, at_work.bench, at_work.say, at_work.bench.judged)
        scales = () if visit.is_part else scales_at(books, StationKind.CHECK)
    return shown("check.html", visit, view=view, key=house.fresh(), moves=at_work.moves, scales=scales)
