"""The catalogue comes in: whole or not at all, and the second time only what is different.

What the folder says is compared with the books in one transaction:

- a new part, bin, scale, bag type, box type or service is added, a different one takes its place;
- a part that the folder no longer has is *retired*, never deleted: old orders and weighings still name it;
- a bin's level in the file is a *count*: the difference to the books is a stock entry with reason ``counted``. The same
  ``bins.csv`` as last time is no new count, so what was picked since isn't booked back;
- a unit weight that the shop learned from its own weighings (it has a date) is kept, the file's are older.

Limits: a bin from which pieces are promised can't leave the file or take another part; that is a finding.
"""

from collections import Counter
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from sqlmodel import SQLModel

from fulfil.files.catalogue import Catalogue, read_catalogue
from fulfil.files.collector import collector_paused
from fulfil.orders.places import promised_by_bin
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.imported import ImportedFile
from fulfil.records.order import ENDED, Order
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import bin_move
from fulfil.records.place import Bin, RoomElement
from fulfil.records.service import Service
from fulfil.records.tariff import Price, Surcharge, Zone
from fulfil.store.books import Books
from fulfil.store.shop import Shop

K = TypeVar("K", bound=Hashable)
R = TypeVar("R", bound=SQLModel)

_ZONE_KEY = ("service_code", "country")
_PRICE_KEY = ("service_code", "valid_from", "zone", "up_to_g")
_SURCHARGE_KEY = ("service_code", "valid_from", "name", "country", "post_codes")


@dataclass
class Difference:
    """How many records of one kind were new, changed, or retired (parts) or removed (the rest)."""

    new: int = 0
    changed: int = 0
    retired: int = 0


@dataclass(frozen=True)
class CatalogueImport:
    """What an import did: nothing where there are findings. ``counts`` is by kind, ``notes`` say what was assumed."""

    findings: tuple[Finding, ...]
    counts: dict[str, Difference] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    @property
    def changed(self) -> bool:
        """Whether the shop is different now."""
        return any(one.new or one.changed or one.retired for one in self.counts.values())


@collector_paused()
def import_catalogue(
    shop: Shop, folder: Path, *, at: datetime, person: str, encoding: str = "utf-8-sig"
) -> CatalogueImport:
    """Imports the folder of CSV files described in :mod:`fulfil.files.catalogue`.

    Raises:
        FileRefused: the folder or a file can't be read, or ``encoding`` is no encoding.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    read = read_catalogue(folder, encoding=encoding)
    if read.catalogue is None:
        return CatalogueImport(read.findings, notes=read.notes)
    with shop.writing() as books:
        step = _Import(books, read.catalogue, at=at, person=person)
        findings = step.findings()
        if findings:
            return CatalogueImport(tuple(findings), notes=read.notes)
        step.write(is_counted=_last_digest(books, "bins.csv") != read.digests["bins.csv"])
        result = CatalogueImport((), step.counts, (*read.notes, *step.notes))
        if result.changed:
            particulars = {"folder": folder.name} | {name: asdict(one) for name, one in step.counts.items()}
            books.journal(
                at=at, person=person, event="catalogue imported", subject="catalogue", particulars=particulars
            )
        for name, digest in sorted(read.digests.items()):
            if _last_digest(books, name) != digest:
                books.remove(ImportedFile, name=name)
                books.replace([ImportedFile(digest=digest, name=name, at=at, person=person)])
    return result


def _last_digest(books: Books, name: str) -> str:
    return next((taken.digest for taken in books.find(ImportedFile, name=name)), "")


class _Import:
    """One catalogue against the books of one transaction."""

    def __init__(self, books: Books, catalogue: Catalogue, *, at: datetime, person: str) -> None:
        self.counts: dict[str, Difference] = {}
        self.notes: list[str] = []
        self._books = books
        self._catalogue = catalogue
        self._at = at
        self._person = person
        self._bins = {one.code: one for one in books.find(Bin)}

    def findings(self) -> list[Finding]:
        """What the books forbid, though the files agree with each other."""
        promised = promised_by_bin(self._books)
        now = {one.code: one for one in self._catalogue.bins}
        findings = []
        for code in sorted(code for code, pieces in promised.items() if pieces):
            kept = now.get(code)
            if kept is None or kept.part_number != self._bins[code].part_number:
                says = f"bin {code} has {promised[code]} pieces promised to orders, so it must stay with its part"
                findings.append(Finding("bins.csv", None, "bin", code, says, "ship or cancel them first"))
        services = {one.code for one in self._catalogue.services}
        open_orders = Counter(one.service_code for one in self._books.find(Order) if one.state not in ENDED)
        for code in sorted(set(open_orders) - services):
            says = f"{open_orders[code]} open orders go with this service, so it must stay"
            findings.append(Finding("services.csv", None, "service", code, says, "keep it until they are shipped"))
        return findings

    def write(self, *, is_counted: bool) -> None:
        """Writes what is different; levels only where the bins were counted again."""
        catalogue = self._catalogue
        self._parts()
        self._unit_weights()
        self._set_of(RoomElement, "room", catalogue.room, lambda one: (one.kind, one.name), ("kind", "name"))
        if is_counted:
            self._count_bins()
        self._set_of(ScaleRecord, "scales", catalogue.scales, lambda one: one.code)
        self._set_of(BagType, "bag types", catalogue.bag_types, lambda one: one.code)
        self._set_of(BoxType, "box types", catalogue.box_types, lambda one: one.code)
        self._set_of(Service, "services", catalogue.services, lambda one: one.code)
        self._set_of(Zone, "zones", catalogue.zones, lambda one: (one.service_code, one.country), _ZONE_KEY)
        self._set_of(
            Price,
            "prices",
            catalogue.prices,
            lambda one: (one.service_code, one.valid_from, one.zone, one.up_to_g),
            _PRICE_KEY,
        )
        self._set_of(
            Surcharge,
            "surcharges",
            catalogue.surcharges,
            lambda one: (one.service_code, one.valid_from, one.name, one.country, one.post_codes),
            _SURCHARGE_KEY,
        )
        # Rates that a clerk entered by hand stay: the file only adds and corrects.
        self._books.replace(catalogue.sdr_rates)
        if self._books.settings() != catalogue.settings:
            self._books.replace([catalogue.settings])
            self.counts["settings"] = Difference(changed=1)

    def _parts(self) -> None:
        known = {one.number: one for one in self._books.find(Part)}
        named = {one.number for one in self._catalogue.parts}
        new, changed = _compare(known, {one.number: one for one in self._catalogue.parts})
        retired = [
            one.model_copy(update={"is_retired": True})
            for one in known.values()
            if one.number not in named and not one.is_retired
        ]
        self._books.add(new)
        self._books.replace([*changed, *retired])
        self.counts["parts"] = Difference(len(new), len(changed), len(retired))

    def _unit_weights(self) -> None:
        known = {(one.part_number, one.lot): one for one in self._books.find(UnitWeight)}
        given = {(one.part_number, one.lot): one for one in self._catalogue.unit_weights}
        learned = {key for key, one in known.items() if one.as_of is not None}
        new, changed = _compare(known, {key: one for key, one in given.items() if key not in learned})
        named = {one.number for one in self._catalogue.parts}
        gone = [key for key in known if key not in given and key not in learned and key[0] in named]
        self._books.add(new)
        self._books.replace(changed)
        for part_number, lot in gone:
            self._books.remove(UnitWeight, part_number=part_number, lot=lot)
        kept = sum(1 for key in learned if key in given and given[key] != known[key])
        if kept:
            self.notes.append(f"{kept} unit weights learned from the shop's own weighings were kept")
        self.counts["unit weights"] = Difference(len(new), len(changed), len(gone))

    def _count_bins(self) -> None:
        """Counts every bin: empties what the file moves or drops, sets places, books what was found."""
        given = {one.code: one for one in self._catalogue.bins}
        gone = [code for code in self._bins if code not in given]
        emptied = gone + [code for code, one in given.items() if code in self._bins and _moved(self._bins[code], one)]
        self._book({code: -self._bins[code].pieces for code in emptied}, self._bins)
        self._books.remove(Bin, code=gone)
        levels = {one.code: one.pieces for one in self._books.find(Bin)} if self._bins else {}
        placed = {code: one.model_copy(update={"pieces": levels.get(code, 0)}) for code, one in given.items()}
        self._books.add([one for code, one in placed.items() if code not in levels])
        self._books.replace([one for code, one in placed.items() if code in levels])
        self._book({code: one.pieces - levels.get(code, 0) for code, one in given.items()}, given)
        new, changed = _compare(self._bins, given)
        self.counts["bins"] = Difference(len(new), len(changed), len(gone))

    def _book(self, change: dict[str, int], bins: dict[str, Bin]) -> None:
        moves = [
            bin_move(
                part_number=bins[code].part_number, bin_code=code, pieces=pieces, reason="counted", source="bins.csv"
            )
            for code, pieces in change.items()
            if pieces
        ]
        self._books.move(stock=moves, at=self._at, person=self._person)

    def _set_of(
        self,
        kind: type[R],
        name: str,
        given: Sequence[R],
        key: Callable[[R], Hashable],
        fields: Sequence[str] = ("code",),
    ) -> None:
        """Makes the books hold exactly these records."""
        known = {key(one): one for one in self._books.find(kind)}
        now = {key(one): one for one in given}
        new, changed = _compare(known, now)
        gone = [one for place, one in known.items() if place not in now]
        for one in gone:
            self._books.remove(kind, **{field_: getattr(one, field_) for field_ in fields})
        self._books.add(new)
        self._books.replace(changed)
        self.counts[name] = Difference(len(new), len(changed), len(gone))


def _moved(before: Bin, now: Bin) -> bool:
    return (before.part_number, before.lot) != (now.part_number, now.lot)


def _compare(known: Mapping[K, R], given: Mapping[K, R]) -> tuple[list[R], list[R]]:
    """What is new, and what is different from what is known."""
    new = [one for key, one in given.items() if key not in known]
    changed = [one for key, one in given.items() if key in known and known[key] != one]
    return new, changed
