"""What must hold after every step of a simulated day, whatever was cut off, full or stale.

* Both books of pieces add up, move by move, and nothing recorded was altered (``fulfil shop verify``).
* Whatever anybody was told is done is still so: an order is there, a weighing is there once, who left has left.
* Nothing is there twice: one weighing for each key, one bench for each order, one manifest for each package.
* A closed day takes nothing from before its closing.
"""

from collections import Counter

from fulfil.orders.verify import alterations, differences
from fulfil.records.bench import BenchPlace, Recount, RecountState, StationAnswer
from fulfil.records.day_close import ClosedDay
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, ManifestState, Package, PackageState
from fulfil.records.despatch.handover import ManifestCopy, ManifestVoid
from fulfil.records.order import Order
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from fulfil.store.books import Books
from tests.benchmarks.faults.people import Checker, Person


class BrokenBooksError(AssertionError):
    """Something that must hold does not; the seed makes it again."""


def must_hold(books: Books, people: list[Person], *, is_thorough: bool) -> None:
    """Looks at everything that must hold."""
    found = [str(one) for one in differences(books)]
    found += [str(one) for one in alterations(books)] if is_thorough else []
    found += [*_once(books, people), *_in_hand(books)]
    if is_thorough:
        found += [*_told(books, people), *_left(books)]
    if found:
        raise BrokenBooksError("\n".join(found))


def closed_before(books: Books) -> dict[str, int]:
    """Of each closed day the journal's entries from before its closing: their number may never change again."""
    return {str(one.day): len(books.between(JournalEntry, "at", None, one.at)) for one in books.find(ClosedDay)}


def _once(books: Books, people: list[Person]) -> list[str]:
    """Each key has one weighing; who asked twice has not weighed twice."""
    found = []
    for person in people:
        if isinstance(person, Checker):
            keys = books.count(StationAnswer, station=person.name)
            rows = books.count(WeighingRecord, person=person.name) + len(_unweighed(books, person.name))
            if keys != rows:
                found.append(f"{person.name}: {keys} keys, {rows} checks")
    return found


def _unweighed(books: Books, person: str) -> list[JournalEntry]:
    """Checks that left no weighing (a look, no scale)."""
    checks = books.find(JournalEntry, event="bag checked", person=person)
    weighed = Counter(one.at for one in books.find(WeighingRecord, person=person))
    return [one for one in checks if not weighed[one.at]]


def _in_hand(books: Books) -> list[str]:
    taken = Counter(place for place in books.fields(BenchPlace, ["kind", "order_number"]) if place[1])
    twice = [f"order {number} is in hand at {n} benches" for (_, number), n in taken.items() if n > 1]
    open_ = sorted({one.bag_code for one in books.find(Recount, state=RecountState.OPEN)})
    states = {one.code: one.state for one in books.find(Bag, code=open_)}
    return twice + [f"bag {code} passed with an open slip" for code in open_ if states.get(code) is BagState.PASSED]


def _told(books: Books, people: list[Person]) -> list[str]:
    """What somebody was told is done, is done."""
    orders = {one.number for one in books.find(Order)}
    packages = {one.number: one for one in books.find(Package)}
    keys = {one.key for one in books.find(StationAnswer)}
    found = []
    for person in people:
        for what, said in person.told:
            number, *more = said.split() if said else [""]
            if what == "order" and number not in orders:
                found.append(f"order {number} was keyed and is gone")
            if what == "checked" and more[0] not in keys:
                found.append(f"bag {number} was checked and the check is gone")
            if what == "sealed" and number not in packages:
                found.append(f"package {number} was sealed and is gone")
            if what == "left" and packages[number].manifest_number != more[0]:
                found.append(f"package {number} left on {more[0]} and is on '{packages[number].manifest_number}'")
    return found


def _left(books: Books) -> list[str]:
    """A closed manifest has its paper; what it says it holds is what is on it."""
    found = []
    for manifest in books.find(Manifest, state=ManifestState.CLOSED):
        on_it = books.find(Package, manifest_number=manifest.number)
        voided = books.count(ManifestVoid, manifest_number=manifest.number)
        if len(on_it) != manifest.packages or books.get(ManifestCopy, manifest.number) is None:
            found.append(f"manifest {manifest.number} says {manifest.packages}, has {len(on_it)} ({voided} void)")
        if any(one.state is not PackageState.SHIPPED for one in on_it):
            found.append(f"manifest {manifest.number} has a package that is not shipped")
    return found
