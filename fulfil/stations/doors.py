"""The way in: a tablet becomes a station, a person signs in with badge and PIN, and out again."""

from dataclasses import replace

from starlette.responses import Response

from fulfil.bench.devices import pair_station, sign_in, sign_out
from fulfil.bench.people import prove_person
from fulfil.checking.entry import EntryKind, read_entry
from fulfil.errors import Refusal
from fulfil.records.bench import Station, StationKind
from fulfil.stations.house import House
from fulfil.stations.visit import HOME, UNMANNED, Visit, drop_ticket, keep_ticket, keep_token, lead, shown

_CALLED = {
    StationKind.CART: "Cart",
    StationKind.CHECK: "Check bench",
    StationKind.PACK: "Packing bench",
    StationKind.CLERK: "Desk",
    StationKind.MAKE_ROOM: "Make-room",
    StationKind.SCALE: "Scale",
    StationKind.WALL: "Wall",
}
TOO_OFTEN = "Too many tries from this device: wait five minutes."


def front(house: House, visit: Visit) -> Response:
    """Where this device belongs now: pairing, signing in, or its own page."""
    rehearses = house.rehearsal.get(visit.host.partition(".")[0])
    if rehearses is not None and (visit.station is None or visit.worker is None):
        return _rehearse(house, visit, *rehearses)
    if visit.station is None:
        return shown("pair.html", visit, refused="")
    if visit.worker is None and visit.station.kind not in UNMANNED:
        return shown("sign_in.html", visit, refused="", badge="")
    return lead(visit, HOME[visit.station.kind])


def rehearsal(house: House, visit: Visit) -> Response:
    """All stations of a rehearsal, each under a name of its own, so that one browser can be all of them."""
    if not house.rehearsal:
        return Response(status_code=404)
    with house.shop.reading() as books:
        kinds = {one.name: one.kind for one in books.find(Station, name=sorted(house.rehearsal))}
    stations = [(name, _CALLED[kinds[name]], badge, pin) for name, (_, badge, pin) in house.rehearsal.items()]
    return shown("rehearsal.html", visit, stations=stations, second=house.second, port=visit.port)


def _rehearse(house: House, visit: Visit, code: str, badge: str, pin: str) -> Response:
    """In a rehearsal the device is paired and its person signed in, since their PIN was shown anyway."""
    station, token = visit.station, ""
    if station is None:
        token = house.fresh()
        try:
            station = pair_station(house.shop, code, token, at=visit.at)
        except Refusal as refusal:
            return shown("pair.html", visit, 403, refused=str(refusal))
    answer = lead(replace(visit, station=station), HOME[station.kind])
    if token:
        keep_token(house, answer, token)
    if badge:
        ticket = house.fresh()
        worker = prove_person(house.shop, badge, pin, bench=station.name, at=visit.at)
        sign_in(house.shop, station, worker, ticket, at=visit.at)
        keep_ticket(house, answer, station, ticket, visit.at)
    return answer


def pair(house: House, visit: Visit) -> Response:
    """The code of a station, typed on the tablet that shall be it."""
    if not house.tries.may(visit.client, visit.at):
        return shown("pair.html", visit, 429, refused=TOO_OFTEN)
    token = house.fresh()
    try:
        station = pair_station(house.shop, visit.form.get("code", ""), token, at=visit.at)
    except Refusal as refusal:
        return shown("pair.html", visit, 403, refused=str(refusal))
    answer = lead(replace(visit, station=station), "/")
    keep_token(house, answer, token)
    return answer


def enter(house: House, visit: Visit) -> Response:
    """Badge and PIN; a badge alone is asked for its PIN."""
    if visit.station is None or visit.station.kind in UNMANNED:
        return lead(visit, "/")
    entry = read_entry(visit.form.get("badge", ""))
    badge = entry.text if entry.kind is EntryKind.BADGE else visit.form.get("badge", "").strip()
    pin = visit.form.get("pin", "").strip()
    if not badge or not pin:
        return shown("sign_in.html", visit, refused="", badge=badge)
    if not house.tries.may(visit.client, visit.at):
        return shown("sign_in.html", visit, 429, refused=TOO_OFTEN, badge=badge)
    ticket = house.fresh()
    try:
        worker = prove_person(house.shop, badge, pin, bench=visit.station.name, at=visit.at)
        sign_in(house.shop, visit.station, worker, ticket, at=visit.at)
    except Refusal as refusal:
        return shown("sign_in.html", visit, 403, refused=str(refusal), badge=badge)
    answer = lead(visit, HOME[visit.station.kind])
    keep_ticket(house, answer, visit.station, ticket, visit.at)
    return answer


def leave(house: House, visit: Visit) -> Response:
    """Signs out; what is in hand stays in hand."""
    if visit.station is not None and visit.worker is not None:
        sign_out(house.shop, visit.station, at=visit.at)
    answer = lead(visit, "/")
    drop_ticket(house, answer)
    return answer
