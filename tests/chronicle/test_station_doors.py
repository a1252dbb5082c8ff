"""People, their PINs, stations, tickets and answers that are kept, word for word."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from functools import partial
from hashlib import sha256
from pathlib import Path

import pytest

from fulfil.bench.devices import (
    add_station,
    pair_station,
    retire_station,
    sign_in,
    sign_out,
    signed_in,
    signing_key,
    station_of,
)
from fulfil.bench.once import KEPT, forget_old_answers, once
from fulfil.bench.people import add_person, change_person, prove_person, retire_person
from fulfil.records.bench import Person, Role, Station, StationKind
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT
from tests.chronicle.telling import Chronicle
from tests.who import Who

PINS = ("", "123", "1234", "4321", "0000", "1357", "123456789", "23456789", "12345679", "12a4", "1112", "7890", "9876")
"""Weak ones and, beside each, one that will do."""
SALT, OTHER = b"0123456789abcdef", b"fedcba9876543210"


def later(minutes: float, person: str = "mara") -> Who:
    """Some time after the first step."""
    return Who(at=AT + timedelta(minutes=minutes), person=person)


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Shop]:
    """An empty shop with its owner; digests are made quickly (``tests/bench/test_people.py`` holds the slow ones)."""
    monkeypatch.setattr("fulfil.bench.people.scrypt", lambda pin, *, salt, **_: sha256(salt + pin).digest())
    with open_shop(tmp_path / "shop.sqlite", create=True) as opened:
        add_person(opened, "mara", [Role.OWNER], "5829", salt=SALT, at=AT, person="start")
        yield opened


def proves(shop: Shop, name: str, pin: str, minutes: float) -> Callable[[], Person]:
    """Somebody tries to sign in."""
    return lambda: prove_person(shop, name, pin, bench="check-1", at=AT + timedelta(minutes=minutes))


def test_people(shop: Shop) -> None:
    """Added, changed, retired, back again; wrong PINs, the wait and its end; weak PINs; the last owner."""
    told = Chronicle(shop, "bench/people")
    told.tell("added", add_person(shop, "anna", [Role.PACK, Role.CHECK], "4071", salt=SALT, **later(1)))
    told.refused(
        "weak PINs, and others",
        *(
            partial(add_person, shop, f"p{place}", [Role.PICK], pin, salt=SALT, **later(1))
            for place, pin in enumerate(PINS)
        ),
    )
    told.tell("right", proves(shop, "anna", "4071", 2)())
    told.refused("wrong", *(proves(shop, "anna", "4072", minutes) for minutes in (3, 4, 5)))
    told.tell("right again", proves(shop, "anna", "4071", 6)())
    told.refused("wrong once more", *(proves(shop, "anna", "4072", minutes) for minutes in (7, 7, 7, 7)))
    told.refused("the fifth", proves(shop, "anna", "4072", 7.5))
    told.refused("must wait, even right", *(proves(shop, "anna", "4071", minutes) for minutes in (8, 11, 11.9)))
    told.tell("after the wait", proves(shop, "anna", "4071", 60)())
    told.refused("old wrong ones are forgotten", *(proves(shop, "anna", "4072", minutes) for minutes in (61, 120, 121)))
    told.refused("nobody", proves(shop, "nobody", "4071", 130), proves(shop, "ännä", "4071", 130))
    told.tell("other roles", change_person(shop, "anna", roles=[Role.CLERK], pin=None, salt=OTHER, **later(131)))
    told.tell("another PIN", change_person(shop, "anna", roles=None, pin="7035", salt=OTHER, **later(132)))
    told.refused(
        "not changed",
        lambda: change_person(shop, "anna", roles=None, pin="1111", salt=OTHER, **later(133)),
        lambda: change_person(shop, "nobody", roles=None, pin=None, salt=OTHER, **later(133)),
        lambda: change_person(shop, "mara", roles=[Role.PICK], pin=None, salt=OTHER, **later(133)),
        lambda: retire_person(shop, "mara", **later(133)),
        lambda: add_person(shop, "anna", [Role.PICK], "7036", salt=SALT, **later(133)),
    )
    told.refused("the PIN of before", proves(shop, "anna", "4071", 134))
    told.tell("retired", retire_person(shop, "anna", **later(135)))
    told.refused("gone", proves(shop, "anna", "7035", 136))
    told.tell("back", add_person(shop, "anna", [Role.OWNER], "7035", salt=SALT, **later(137)))
    told.tell("another owner", retire_person(shop, "mara", **later(138)))
    told.refused("the last one", lambda: retire_person(shop, "anna", **later(139)))
    told.is_as_recorded()


def test_stations(shop: Shop) -> None:
    """Set up, paired in time and too late, signed in by role, ended by time, by others, by another PIN; retired."""
    told = Chronicle(shop, "bench/stations")
    anna = add_person(shop, "anna", [Role.CHECK], "4071", salt=SALT, **later(0))
    ben = add_person(shop, "ben", [Role.PACK], "7035", salt=SALT, **later(0))
    for name, kind in (("check-1", StationKind.CHECK), ("pack-1", StationKind.PACK), ("wall", StationKind.WALL)):
        told.tell(f"set up {name}", add_station(shop, name, kind, f"code-{name}", **later(1)))
    told.refused("another kind", lambda: add_station(shop, "check-1", StationKind.PACK, "x", **later(2)))
    told.refused(
        "not paired",
        lambda: pair_station(shop, " ", "t", at=AT),
        lambda: pair_station(shop, "code-9", "t", at=AT),
        lambda: pair_station(shop, "code-wall", "t", at=AT + timedelta(minutes=61, seconds=1)),
    )
    hour = AT + timedelta(minutes=61)
    check = pair_station(shop, " CODE-check-1 ", "token-c", at=hour)
    told.tell("paired within the hour", check)
    told.refused("used up", lambda: pair_station(shop, "code-check-1", "t", at=hour))
    pack, wall = (pair_station(shop, f"code-{name}", f"token-{name}", at=hour) for name in ("pack-1", "wall"))
    told.refused("without the role", lambda: sign_in(shop, check, ben, "x", at=hour))
    told.tell(
        "signed in",
        [sign_in(shop, one, who, f"ticket-{who.name}", at=hour) for one, who in ((check, anna), (pack, ben))],
    )
    told.tell("at the wall anybody is", sign_in(shop, wall, ben, "ticket-w", at=hour))

    def who(name: str, ticket: str, minutes: float) -> str:
        with shop.reading() as books:
            found = signed_in(books, books.need(Station, name), ticket, at=hour + timedelta(minutes=minutes))
        return "nobody" if found is None else found.name

    said = [
        who("check-1", ticket, minutes) for ticket in ("ticket-anna", "ticket-ben", "") for minutes in (0, 719, 720)
    ]
    told.tell("who is there", [*said, who("pack-1", "ticket-ben", 0), who("wall", "ticket-w", 719)])
    with shop.reading() as books:
        found = [station_of(books, token) for token in ("token-c", "token-wall", "other", "")]
        told.tell("by token", [one.name if one else "" for one in found])
    sign_out(shop, pack, at=hour + timedelta(minutes=5))
    told.tell("signed out", who("pack-1", "ticket-ben", 6))
    sign_out(shop, pack, at=hour + timedelta(minutes=7))
    told.tell("signed out twice")
    change_person(shop, "anna", roles=[Role.CHECK, Role.PACK], pin=None, salt=SALT, at=hour, person="mara")
    told.tell("changed in the same moment", who("check-1", "ticket-anna", 1))
    change_person(shop, "anna", roles=None, pin="8264", salt=SALT, at=hour + timedelta(minutes=1), person="mara")
    told.tell("another PIN ends it", who("check-1", "ticket-anna", 2))
    with shop.reading() as books:
        anna = books.need(Person, "anna")
    sign_in(shop, check, anna, "ticket-2", at=hour + timedelta(minutes=3))
    told.tell("in again", who("check-1", "ticket-2", 4))
    retire_person(shop, "anna", **later(70))
    told.tell("retired while there", who("check-1", "ticket-2", 10))
    sign_in(
        shop,
        check,
        add_person(shop, "ann", [Role.CHECK], "4071", salt=SALT, **later(71)),
        "t3",
        at=hour + timedelta(minutes=11),
    )
    told.tell(
        "a station given to another device", add_station(shop, "check-1", StationKind.CHECK, "code-new", **later(80))
    )
    told.tell("nobody there", who("check-1", "t3", 20))
    told.tell("station retired", retire_station(shop, "check-1", **later(90)))
    told.refused(
        "of a retired one",
        lambda: pair_station(shop, "code-new", "t", at=AT + timedelta(minutes=91)),
        lambda: retire_station(shop, "none", **later(91)),
    )
    told.tell("another kind of it now", add_station(shop, "check-1", StationKind.PACK, "code-p", **later(92)))
    told.tell("the key", [signing_key(shop, "first").decode(), signing_key(shop, "second").decode()])
    told.is_as_recorded()


def test_nothing_happens_twice(shop: Shop) -> None:
    """Answered once, the same again; another asking, another station, a bad key; forgotten after its days."""
    told = Chronicle(shop, "bench/once")
    done: list[str] = []

    def renames(name: str, *, writes: bool = True) -> Callable[[Shop], str]:
        def do(at_station: Shop) -> str:
            done.append(name)
            if writes:
                with at_station.writing() as books:
                    books.replace([Settings(shop_name=name)])
                with at_station.writing() as books:
                    books.replace([Settings(shop_name=name, city="Town")])
            return f"named {name}"

        return do

    told.tell("once", once(shop, "check-1", "key-0001", "name A", renames("A"), **later(1)))
    told.tell("again", once(shop, "check-1", "key-0001", "name A", renames("B"), **later(2)))
    told.tell("at another station", once(shop, "check-2", "key-0001", "name C", renames("C"), **later(3)))
    told.tell("nothing written", once(shop, "check-1", "key-0002", "look", renames("D", writes=False), **later(4)))
    known = "named E"
    told.tell("known", once(shop, "check-1", "key-0003", "name E", renames("E"), **later(5), known=lambda: known))
    told.refused(
        "not done",
        *(
            partial(once, shop, "check-1", key, "name F", renames("F"), **later(6))
            for key in ("", "short-7", "k" * 41, "with space", "key/0001", "key-0001")
        ),
    )
    told.tell(
        "longest and shortest", [once(shop, "x", key, "", renames("G"), **later(7)) for key in ("k" * 40, "k" * 8)]
    )
    told.tell("done", done)
    for seconds in (-1, 0, 1):
        at = AT + timedelta(minutes=1, seconds=seconds) + KEPT
        told.tell(f"forgotten {seconds} s after the first is old", forget_old_answers(shop, at=at))
    told.tell("all forgotten", forget_old_answers(shop, at=AT + 2 * KEPT))
    told.is_as_recorded()
