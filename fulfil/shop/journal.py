"""Read who did what, when: of an order, a bag, a package, a walk, a person, a stretch of time.

An order's journal is also that of its bags, packages and walks, of the manifests that its packages stand on, of its
claims and returns, and of the orders that were put into it. A package's has its bags and its manifest, a walk's its
bags, and the walks that were split off it.

Times are typed and told on the shop's own clock. A day means the whole of it; of an hour that a clock shows twice the
first one begins, the second one ends. Who is asked for a person and no time gets the last month.

>>> from fulfil.records.settings import Settings
>>> asked = Settings(time_zone="Asia/Tokyo")
>>> moment_of("2026-03-02", asked).isoformat(), moment_of("2026-03-02", asked, is_end=True).isoformat()
('2026-03-01T15:00:00+00:00', '2026-03-02T15:00:00+00:00')
>>> moment_of("2026-03-02T09:30", asked, is_end=True).isoformat()
'2026-03-02T00:31:00+00:00'
"""

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from fulfil.errors import QuantityRefused, UnknownRefused
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.despatch.goods_back import ReturnedPieces
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.pieces import Owed, OwedEntry
from fulfil.records.plan import Bag, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.records.settings import Settings
from fulfil.shop.clock import local_time
from fulfil.shop.journal_words import in_words
from fulfil.store.books import Books
from fulfil.store.journal_reading import JournalSearch, latest_entries

MONTH = timedelta(days=31)
"""How far back a person's journal goes when no time is asked for."""
MOST = 100
_CARRIERS = {Owed.BAGGED, Owed.PASSED, Owed.BOXED, Owed.SEALED, Owed.SHIPPED}
"""Places whose reference is a bag or a package."""
_TO_THE_SECOND = re.compile(r"[T ]\d\d:?\d\d:?\d\d")


@dataclass(frozen=True)
class Asked:
    """What the journal is asked for: at most one of the first five, beside a person and a stretch of time as typed."""

    order: str = ""
    bag: str = ""
    package: str = ""
    walk: str = ""
    about: str = ""
    person: str = ""
    since: str = ""
    until: str = ""


@dataclass(frozen=True)
class Told:
    """An entry, its time on the shop's clock, and in plain words what was done."""

    entry: JournalEntry
    local: str
    says: str


@dataclass(frozen=True)
class Journal:
    """The latest entries that were asked for, the earliest first; ``notes`` say what was left out."""

    entries: tuple[Told, ...]
    has_more: bool
    notes: tuple[str, ...] = ()


def read_journal(books: Books, asked: Asked, *, now: datetime, most: int = MOST) -> Journal:
    """The journal as asked for.

    Raises:
        UnknownRefused: the shop knows nothing of the order, bag, package or walk.
        QuantityRefused: a time is none, or more than one thing is asked about.
    """
    settings = books.settings()
    since = moment_of(asked.since, settings) if asked.since else None
    before = moment_of(asked.until, settings, is_end=True) if asked.until else None
    if since is not None and before is not None and since >= before:
        raise QuantityRefused("read the journal until", asked.until, f"a time after {asked.since}")
    subjects = _subjects(books, asked)
    notes = []
    if asked.person and subjects is None and since is None:
        since = (now if before is None else before) - MONTH
        notes.append(f"from {local_time(since, settings)} on; --since reads further back")
    search = JournalSearch(subjects, asked.person or None, since, before)
    found = latest_entries(books, search, most=most + 1)
    if not found and subjects is not None and not (asked.person or asked.since or asked.until):
        _must_be_known(books, asked)
    has_more = len(found) > most
    if has_more:
        notes.append(f"only the latest {most}; --most reads more")
    told = [Told(entry, local_time(entry.at, settings), in_words(entry)) for entry in found[-most:]]
    return Journal(tuple(told), has_more, tuple(notes))


def moment_of(text: str, settings: Settings, *, is_end: bool = False) -> datetime:
    """A moment as typed, in UTC: a day, or a day and time; on the shop's clock where it has no offset.

    An end is the moment after it: the next day, minute or second, whatever was typed to.

    Raises:
        QuantityRefused: it is no time.
    """
    zone = ZoneInfo(settings.time_zone)
    try:
        if "T" not in text and " " not in text:
            day = date.fromisoformat(text) + timedelta(days=is_end)
            return datetime.combine(day, time(), zone).astimezone(UTC)
        at = datetime.fromisoformat(text)
        at = at if at.tzinfo is not None else at.replace(tzinfo=zone, fold=int(is_end))
        step = timedelta(seconds=1) if _TO_THE_SECOND.search(text) else timedelta(minutes=1)
        return at.astimezone(UTC) + step * is_end
    except (ValueError, OverflowError):
        expected = "a day or a time on the shop's clock, such as 2026-03-02 or 2026-03-02T09:30"
        raise QuantityRefused("read the journal by the time", text, expected) from None


def subjects_of_order(books: Books, number: str) -> tuple[str, ...]:
    """Everything whose entries belong to an order's journal: itself and all that ever carried its pieces."""
    numbers = _with_combined(books, number)
    bags = books.find(Bag, order_number=numbers)
    pulled = books.find(PulledBag, order_number=numbers)
    packages = books.find(Package, order_number=numbers)
    moves = books.find(OwedEntry, order_number=numbers)
    carried = {one.from_ref for one in moves if one.from_place in _CARRIERS}
    carried |= {one.to_ref for one in moves if one.to_place in _CARRIERS}
    walks = [*(bag.walk_number for bag in bags), *(bag.walk_number for bag in pulled)]
    # A bag that was left empty has no row any more.
    walks += [
        _said(one, "walk") for one in books.find(JournalEntry, subject=sorted(carried), event=Happening.BAG_LEFT_EMPTY)
    ]
    voids = books.find(ManifestVoid, package_number=sorted(carried))
    return tuple(
        dict.fromkeys(
            [
                *numbers,
                *(bag.code for bag in bags),
                *(bag.bag_code for bag in pulled),
                *sorted(carried),
                *walks,
                *(_said(entry, "from") for entry in _splits(books, walks)),
                *(package.number for package in packages),
                *(package.manifest_number for package in packages if package.manifest_number),
                *(void.manifest_number for void in voids),
                *(claim.number for claim in books.find(Claim, order_number=numbers)),
                *(one.number for one in books.find(ReturnedPieces, order_number=numbers)),
            ]
        )
    )


def _with_combined(books: Books, number: str) -> list[str]:
    """The order and those that were put into it, and into them."""
    numbers = [number]
    for one in numbers:
        for entry in books.find(JournalEntry, subject=one, event=Happening.ORDERS_COMBINED):
            numbers += [other for other in json.loads(entry.particulars)["from"] if other not in numbers]
    return numbers


def _splits(books: Books, walks: Iterable[str]) -> list[JournalEntry]:
    """How walks were split off others: what was done before was done on the other one."""
    return books.find(JournalEntry, subject=sorted({*walks}), event=Happening.WALK_SPLIT)


def _said(entry: JournalEntry, name: str) -> str:
    """One of the particulars of an entry."""
    return str(json.loads(entry.particulars)[name])


def _subjects(books: Books, asked: Asked) -> tuple[str, ...] | None:
    """What the journal is asked about; None for everything."""
    named = [one for one in (asked.order, asked.bag, asked.package, asked.walk, asked.about) if one]
    if len(named) > 1:
        raise QuantityRefused("read the journal about", " and ".join(named), "one of them at a time")
    if asked.order:
        return subjects_of_order(books, books.need(Order, asked.order).number)
    if asked.package:
        package = books.get(Package, asked.package)
        bags = [bag.code for bag in books.find(Bag, package_number=asked.package)]
        manifest = [package.manifest_number] if package is not None and package.manifest_number else []
        return (asked.package, *bags, *manifest)
    if asked.walk:
        splits = books.find(JournalEntry, event=Happening.WALK_SPLIT)
        off = [one.subject for one in splits if _said(one, "from") == asked.walk]
        return (asked.walk, *off, *(bag.code for bag in books.find(Bag, walk_number=asked.walk)))
    return tuple(named) or None


def _must_be_known(books: Books, asked: Asked) -> None:
    """An empty journal of something that the shop never had is a spelling mistake."""
    if asked.bag:
        books.need(Bag, asked.bag)
    elif asked.package:
        books.need(Package, asked.package)
    elif asked.walk:
        books.need(WalkRecord, asked.walk)
    elif asked.about:
        raise UnknownRefused("read the journal about", asked.about, "something that the shop has an entry of")
