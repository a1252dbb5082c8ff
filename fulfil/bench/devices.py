"""Stations: which device is which, who is signed in there, and until when they are believed.

A tablet becomes a station by a *pairing code* that is shown once and typed there once; from then on it shows a
*token*. Whoever signs in at it holds a *ticket*; one person at a station at a time. Token, code and ticket are random
and long, so a plain SHA-256 of each is kept: it can't be turned back (a PIN, being short, needs more:
:mod:`fulfil.bench.people`).
"""

from datetime import datetime, timedelta
from hashlib import sha256

from fulfil.errors import StateRefused
from fulfil.records.bench import Person, Role, SigningKey, Station, StationKind
from fulfil.records.happening import Happening
from fulfil.store.books import Books
from fulfil.store.shop import Shop

PAIRING = timedelta(hours=1)
LONGEST = timedelta(hours=12)
"""A ticket ends after so long whatever is done with it: a shift."""
ROLE_AT = {
    StationKind.CHECK: Role.CHECK,
    StationKind.PACK: Role.PACK,
    StationKind.CART: Role.PICK,
    StationKind.MAKE_ROOM: Role.MAKE,
    StationKind.CLERK: Role.CLERK,
}
"""The role that a kind of station asks for; wall and scale ask for none, nobody does anything there."""


WEIGHS = (StationKind.CHECK, StationKind.PACK)
"""Where a scale may stand that sends by itself."""


def add_station(
    shop: Shop, name: str, kind: StationKind, code: str, *, at: datetime, person: str, serves: str = ""
) -> Station:
    """Sets up a station, or gives one to another device; ``code`` is the new pairing code.

    ``serves`` is the bench beside which a scale stands.

    Raises:
        UnknownRefused: there is no such bench.
        StateRefused: the station is of another kind; a scale without a bench, or beside something else.
    """
    with shop.writing() as books:
        if serves or kind is StationKind.SCALE:
            beside = books.need(Station, serves) if serves else None
            if kind is not StationKind.SCALE or beside is None or beside.kind not in WEIGHS or beside.is_retired:
                expected = "a scale beside a check or packing bench: --kind scale --beside BENCH"
                raise StateRefused("set up the station", f"{name} ({kind}) beside {serves or 'nothing'}", expected)
        known = books.get(Station, name)
        if known is not None and known.kind is not kind and not known.is_retired:
            raise StateRefused("set up the station", name, f"kind {known.kind}, which it is; or another name")
        added = Station(name=name, kind=kind, pairing_digest=digest(code), pairing_until=at + PAIRING, serves=serves)
        books.replace([added])
        event = Happening.STATION_ADDED
        books.journal(at=at, person=person, event=event, subject=name, particulars={"kind": kind.value})
    return added


def pair_station(shop: Shop, code: str, token: str, *, at: datetime) -> Station:
    """Gives the station of a pairing code to the device that typed it; the code is used up.

    Raises:
        StateRefused: no station waits for this code, or it is too old.
    """
    with shop.writing() as books:
        found = books.find(Station, pairing_digest=digest(code.strip().lower())) if code.strip() else []
        station = next((one for one in found if not one.is_retired and one.pairing_digest), None)
        if station is None or station.pairing_until is None or at > station.pairing_until:
            raise StateRefused(
                "pair with the code", code.strip()[:20], "the code that 'fulfil stations add' showed in the last hour"
            )
        now = {"token_digest": digest(token), "pairing_digest": "", "pairing_until": None, **_SIGNED_OUT}
        (station,) = books.change([station], now)
        books.journal(at=at, person=station.name, event=Happening.STATION_PAIRED, subject=station.name)
    return station


def retire_station(shop: Shop, name: str, *, at: datetime, person: str) -> Station:
    """Takes a station out of use: its device is no station any more.

    Raises:
        UnknownRefused: there is no such station.
    """
    with shop.writing() as books:
        now = {"token_digest": "", "pairing_digest": "", "pairing_until": None, "is_retired": True, **_SIGNED_OUT}
        (gone,) = books.change([books.need(Station, name)], now)
        books.journal(at=at, person=person, event=Happening.STATION_RETIRED, subject=name)
    return gone


def station_of(books: Books, token: str) -> Station | None:
    """The station whose token this is."""
    found = books.find(Station, token_digest=digest(token)) if token else []
    return next((one for one in found if not one.is_retired and one.token_digest), None)


def sign_in(shop: Shop, station: Station, worker: Person, ticket: str, *, at: datetime) -> Station:
    """Signs a person in who has proved who they are; whoever was there before is signed out.

    Raises:
        StateRefused: the person has not the role that the station asks for.
    """
    role = ROLE_AT.get(station.kind)
    if role is not None and not worker.may(role):
        raise StateRefused("sign in", worker.name, f"a person with the role '{role}' at the station {station.name}")
    with shop.writing() as books:
        now = {"person": worker.name, "session_digest": digest(ticket), "signed_in_at": at}
        (station,) = books.change([books.need(Station, station.name)], now)
        event, particulars = Happening.SIGNED_IN, {"bench": station.name}
        books.journal(at=at, person=worker.name, event=event, subject=station.name, particulars=particulars)
    return station


def sign_out(shop: Shop, station: Station, *, at: datetime) -> None:
    """Ends what was signed in here; what is in hand stays in hand."""
    with shop.writing() as books:
        station = books.need(Station, station.name)
        if station.person:
            event, particulars = Happening.SIGNED_OUT, {"bench": station.name}
            books.journal(at=at, person=station.person, event=event, subject=station.name, particulars=particulars)
            books.change([station], _SIGNED_OUT)


def signed_in(books: Books, station: Station, ticket: str, *, at: datetime) -> Person | None:
    """Who holds this ticket at this station; None when it isn't, or is no longer, theirs."""
    if not ticket or station.session_digest != digest(ticket):
        return None
    return working_at(books, station, at=at)


def working_at(books: Books, station: Station, *, at: datetime) -> Person | None:
    """Who is signed in at a station and still may be; a scale beside a bench weighs for them."""
    if not station.person or station.signed_in_at is None:
        return None
    worker = books.get(Person, station.person)
    if worker is None or worker.is_retired or worker.since > station.signed_in_at:
        return None
    role = ROLE_AT.get(station.kind)
    return worker if at < station.signed_in_at + LONGEST and (role is None or worker.may(role)) else None


def signing_key(shop: Shop, fresh: str) -> bytes:
    """The shop's secret for what it signs; ``fresh`` becomes it where there is none yet."""
    with shop.reading() as books:
        found = books.get(SigningKey, "stations")
    if found is None:
        with shop.writing() as books:
            found = books.get(SigningKey, "stations") or SigningKey(name="stations", secret=fresh)
            books.replace([found])
    return found.secret.encode()


def digest(secret: str) -> str:
    """What is kept of a random secret."""
    return sha256(secret.encode()).hexdigest()


_SIGNED_OUT = {"person": "", "session_digest": "", "signed_in_at": None}
