"""Four eyes at the desk: a manifest or the day is closed once a second person has agreed, with badge and PIN.

What was closed is not opened again, so the one who is signed in is not enough: somebody else who may close looks at it
and says so. In a shop where one person alone is at the desk (``closes_alone`` of the house) their own PIN is asked for
again. That somebody agreed is journalled before the closing, which may still be refused. A PIN is never kept, nor a
digest of the form that held it.
"""

from fulfil.bench.devices import ROLE_AT
from fulfil.bench.people import prove_person
from fulfil.checking.entry import EntryKind, read_entry
from fulfil.errors import StateRefused
from fulfil.records.bench import StationKind
from fulfil.records.happening import Happening
from fulfil.stations.doors import TOO_OFTEN
from fulfil.stations.house import House
from fulfil.stations.visit import Visit

_MAY_AGREE = ROLE_AT[StationKind.CLERK]


def agreed_by(house: House, visit: Visit, closing: str) -> str:
    """The name of who agreed to close what ``closing`` names.

    Raises:
        StateRefused: nobody else, no badge or PIN, ones that don't belong together, somebody who may not close, or too
            many tries.
    """
    assert visit.station is not None  # noqa: S101
    assert visit.worker is not None  # noqa: S101
    said, pin = (visit.form.get(name, "").strip() for name in ("second", "pin"))
    entry = read_entry(said)
    name = entry.text if entry.kind is EntryKind.BADGE else said
    if house.closes_alone:
        name = name or visit.worker.name
    elif name == visit.worker.name:
        raise StateRefused(f"close {closing} with the badge of", name, f"a second person's: {name} is signed in here")
    if not name or not pin:
        expected = "your PIN once more" if house.closes_alone else "a second person's badge, and their PIN"
        raise StateRefused("close", closing, expected)
    if not house.tries.may(visit.client, visit.at):
        raise StateRefused("close", closing, TOO_OFTEN)
    second = prove_person(house.shop, name, pin, bench=visit.station.name, at=visit.at)
    if not second.may(_MAY_AGREE):
        raise StateRefused(f"close {closing} with the badge of", name, f"a person with the role '{_MAY_AGREE}'")
    with house.shop.at_station(visit.station.name).writing() as books:
        particulars = {"with": visit.worker.name}
        books.journal(
            at=visit.at, person=name, event=Happening.CLOSING_AGREED, subject=closing, particulars=particulars
        )
    return name
