"""The check bench's page: every line that is scanned, typed or touched goes to the bench as at the terminal.

A page says which bag it showed. What was meant for one bag is not taken for another, whoever was faster: another
tablet, or a page that somebody went back to.
"""

import json
from dataclasses import asdict, replace
from pathlib import Path

from starlette.responses import FileResponse, Response

from fulfil.bench.check_station import CheckBench
from fulfil.bench.once import once
from fulfil.checking.entry import Card, EntryKind, read_entry
from fulfil.checking.saying import Say, Sound, refused, said
from fulfil.errors import Refusal
from fulfil.records.part import Part
from fulfil.records.station import StationKind
from fulfil.stations.check_view import check_view
from fulfil.stations.house import AtWork, House
from fulfil.stations.visit import Visit, lead, shown, worked_at
from fulfil.store.shop import Shop

PATH = "/check"
_PICTURES = {".jpg", ".jpeg", ".png"}


@worked_at(StationKind.CHECK)
def show(house: House, visit: Visit) -> Response:
    """The bench as it is."""
    assert visit.station is not None  # noqa: S101
    at_work = house.check_bench(visit.station.name)
    with at_work.lock:
        return _page(house, visit, at_work)


@worked_at(StationKind.CHECK)
def take(house: House, visit: Visit) -> Response:
    """One line for the bench; the page after it."""
    assert visit.station is not None  # noqa: S101
    assert visit.worker is not None  # noqa: S101
    at_work = house.check_bench(visit.station.name)
    line, bag, key = (visit.form.get(name, "") for name in ("line", "bag", "key"))
    if visit.form.get("as") == "count" and line.strip().isdecimal():
        line = f"#{line.strip()}"
    worker = visit.worker.name
    with at_work.lock:

        def do(shop: Shop) -> str:
            at_work.say = _enter(at_work.bench, shop, line, bag, worker, visit)
            return json.dumps(asdict(at_work.say))

        try:
            asked = f"{PATH}\n{bag}\n{line}"
            answer, was_done = once(house.shop, visit.station.name, key, asked, do, at=visit.at, person=worker)
            if was_done:
                _say_again(at_work, answer)
        except Refusal as refusal:
            at_work.bench.judged = None
            at_work.say = refused(str(refusal))
        if at_work.bench.slips:
            printed = house.print_slips(at_work.bench.slips)
            at_work.bench.slips.clear()
            at_work.say = replace(at_work.say, lines=(*at_work.say.lines, *printed))
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


def _enter(bench: CheckBench, shop: Shop, line: str, bag: str, worker: str, visit: Visit) -> Say:
    in_hand = "" if bench.state.bag is None else bench.state.bag.code
    entry = read_entry(line)
    if bag != in_hand:
        bench.judged = None
        now = f"Bag {in_hand} is in hand now." if in_hand else "No bag is in hand now."
        return refused(f"That was for {f'bag {bag}' if bag else 'no bag'}: nothing was done. {now}")
    if entry.card is Card.LEAVE:
        return refused("Sign out at the top of the page; what is in hand stays in hand.")
    if entry.kind is EntryKind.BADGE and not bench.state.names_picker:
        return refused(f"{worker} is signed in here. Sign out first; then {entry.text} signs in with badge and PIN.")
    bench.shop = shop
    if bench.state.person != worker:
        bench.state = replace(bench.state, person=worker)
    return bench.enter(line, at=visit.at)


def _say_again(at_work: AtWork[CheckBench], answer: str) -> None:
    """The first answer; the drawing of its verdict stays where it is still the last one."""
    if not answer:
        at_work.bench.judged = None
        at_work.say = said("That was done already. Here is where the bench stands.")
        return
    told = json.loads(answer)
    again = Say(Sound(told["sound"]), told["headline"], tuple(told["lines"]), told["big"])
    if again.headline != at_work.say.headline:
        at_work.bench.judged = None
    at_work.say = again


def _page(house: House, visit: Visit, at_work: AtWork[CheckBench]) -> Response:
    with house.shop.reading() as books:
        view = check_view(books, at_work.bench, at_work.say, at_work.bench.judged)
    return shown("check.html", visit, view=view, key=house.fresh())
