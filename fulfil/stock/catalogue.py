"""The catalogue comes in: whole or not at all, and the second time only what is different. It never sets stock.

What the folder says is compared with the books in one transaction:

- a new part, bin, scale, bag type, box type or service is added, a different one takes its place;
- a part that the folder no longer has is *retired*, never deleted: old orders and weighings still name it, and what is
  owed of it is still served; so is a scale, and a service by which no open order goes;
- what lies in a bin changes by counts, receipts and adjustments only. The level (and lot) in ``bins.csv`` is the
  opening count of a bin that is *new to the shop*; of a bin that the shop knows it is left alone, and a note names the
  bins that differ. Asked for by name (``with_stock``), the file is a count of every bin, taken today;
- a unit weight that the shop learned from its own weighings (it has a date) is kept, the file's are older.

A count is a stock entry with reason ``counted`` and source ``bins.csv``. A bin that still holds pieces, or from which
pieces are promised, can't leave the file or take another part, and a count can't be below what is promised: these are
findings, each with what to do, and nothing is imported.
"""

from collections.abc import Callable, Hashable, Sequence
from dataclasses import asdict, dataclass, field
from datetime import datetime
from pathlib import Path
from typing import TypeVar

from sqlmodel import SQLModel

from fulfil.errors import Refusal
from fulfil.files.catalogue import Catalogue, read_catalogue
from fulfil.orders.print_check import in_latin, unprintable
from fulfil.progress import each
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.service import Closure, Service
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.equipment import BagType, BoxType, PrinterRecord, ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.imported import ImportedFile
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import RoomElement
from fulfil.records.revised import revised
from fulfil.shop.printers import must_suit
from fulfil.stock.catalogue_bins import BinsImport, Difference, compare
from fulfil.stock.equipment_changes import E, retired_by_file, service_findings
from fulfil.stock.part_changes import some, still_wanted
from fulfil.store.books import Books
from fulfil.store.collector import collector_paused
from fulfil.store.shop import Shop

K = TypeVar("K", bound=Hashable)
R = TypeVar("R", bound=SQLModel)

_ZONE_KEY = ("service_code", "country")
_PRICE_KEY = ("service_code", "valid_from", "zone", "up_to_g")
_SURCHARGE_KEY = (
    "service_code", "valid_from", "name", "country", "post_codes", "above_g", "above_longest_mm",
    "above_length_girth_mm", "hazard",
)  # fmt: skip
_CLOSURE_KEY = ("service_code", "first_day")


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
    shop: Shop,
    folder: Path,
    *,
    at: datetime,
    person: str,
    encoding: str = "",
    delimiter: str = "",
    decimal: str = "",
    with_stock: bool = False,
) -> CatalogueImport:
    """Imports the folder of tables described in :mod:`fulfil.files.catalogue`.

    Encoding, delimiter and decimal sign are found out where they aren't named, and said in the notes.

    ``with_stock`` takes the levels and lots of ``bins.csv`` as a count of every bin; else only those of new bins.

    Raises:
        FileRefused: the folder or a file can't be read, or ``encoding`` is no encoding.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    read = read_catalogue(folder, encoding=encoding, delimiter=delimiter, decimal=decimal)
    if read.catalogue is None:
        return CatalogueImport(read.findings, notes=read.notes)
    with shop.writing() as books:
        step = _Import(books, read.catalogue, at=at, person=person, with_stock=with_stock)
        findings = step.findings()
        if findings:
            return CatalogueImport(tuple(findings), notes=read.notes)
        step.write()
        result = CatalogueImport((), step.counts, (*read.notes, *step.notes))
        if result.changed:
            particulars = {"folder": folder.name, "with_stock": with_stock} | {
                name: asdict(one) for name, one in step.counts.items()
            }
            books.journal(
                at=at, person=person, event=Happening.CATALOGUE_IMPORTED, subject="catalogue", particulars=particulars
            )
        for name, digest in sorted(read.digests.items()):
            if _last_digest(books, name) != digest:
                books.remove(ImportedFile, name=name)
                books.replace([ImportedFile(digest=digest, name=name, at=at, person=person)])
    return result


def _last_digest(books: Books, name: str) -> str:
    return next((taken.digest for taken in books.find(ImportedFile, name=name)), "")


def _unprintable(parts: Sequence[Part]) -> list[Finding]:
    """Parts whose texts the papers can't print: said now, not when a bag wants its label."""
    do = "write it in letters that the papers have, such as '{}'"
    return [
        Finding("parts.csv", None, f"{field} of {part.number}", text, "can't be printed", do.format(in_latin(text)))
        for part in parts
        for field in ("description", "family", "size", "finish", "supplier", "customs_description")
        if unprintable(text := getattr(part, field))
    ]


def _unsuited(printers: Sequence[PrinterRecord]) -> list[Finding]:
    """Printers whose media, papers, language or destination there aren't."""
    found = []
    for printer in printers:
        try:
            must_suit(printer)
        except Refusal as refused:
            found.append(
                Finding(
                    "printers.csv",
                    None,
                    f"printer {printer.name}",
                    str(refused.value),
                    "isn't known",
                    f"write {refused.expected}",
                )
            )
    return found


class _Import:
    """One catalogue against the books of one transaction."""

    def __init__(self, books: Books, catalogue: Catalogue, *, at: datetime, person: str, with_stock: bool) -> None:
        self.counts: dict[str, Difference] = {}
        self.notes: list[str] = []
        self._books = books
        self._catalogue = catalogue
        self._at = at
        self._person = person
        self._bins = BinsImport(books, catalogue.bins, with_stock=with_stock)

    def findings(self) -> list[Finding]:
        """What the books forbid, though the files agree with each other."""
        findings = [
            *self._bins.findings(),
            *_unprintable(self._catalogue.parts),
            *_unsuited(self._catalogue.printers or ()),
        ]
        return [*findings, *service_findings(self._books, self._catalogue.services)]

    def write(self) -> None:
        """Writes what is different."""
        steps = (
            self._parts, self._unit_weights, self._places, self._things, self._services, self._printers, self._rates,
            self._settings,
        )  # fmt: skip
        for step in each("writing the catalogue", steps):
            step()

    def _places(self) -> None:
        room = self._catalogue.room
        self._set_of(RoomElement, "room", room, lambda one: (one.kind, one.name), ("kind", "name"))
        self._bins.write(at=self._at, person=self._person)
        self.counts |= self._bins.counts
        self.notes += self._bins.notes

    def _things(self) -> None:
        self._equipment(ScaleRecord, "scales", self._catalogue.scales)
        self._set_of(BagType, "bag types", self._catalogue.bag_types, lambda one: one.code)
        self._set_of(BoxType, "box types", self._catalogue.box_types, lambda one: one.code)

    def _services(self) -> None:
        """Services with what they cost and when they don't collect."""
        catalogue = self._catalogue
        self._equipment(Service, "services", catalogue.services)
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
            lambda one: tuple(getattr(one, name) for name in _SURCHARGE_KEY),
            _SURCHARGE_KEY,
        )
        self._set_of(
            Closure, "closures", catalogue.closures, lambda one: (one.service_code, one.first_day), _CLOSURE_KEY
        )

    def _rates(self) -> None:
        """Rates that a clerk entered by hand stay: the file only adds and corrects."""
        known = {(one.currency, one.as_of): one for one in self._books.find(SdrRateEntry)}
        given = {(one.currency, one.as_of): one for one in self._catalogue.sdr_rates}
        new, changed = compare(known, given)
        self._books.replace([*new, *changed])
        self.counts["SDR rates"] = Difference(len(new), len(changed))

    def _settings(self) -> None:
        if self._books.settings() != self._catalogue.settings:
            self._books.replace([self._catalogue.settings])
            self.counts["settings"] = Difference(changed=1)

    def _parts(self) -> None:
        known = {one.number: one for one in self._books.find(Part)}
        named = {one.number for one in self._catalogue.parts}
        new, changed = compare(known, {one.number: one for one in self._catalogue.parts})
        retired = [
            revised(one, {"is_retired": True})
            for one in known.values()
            if one.number not in named and not one.is_retired
        ]
        self._books.add(new)
        self._books.replace([*changed, *retired])
        self.counts["parts"] = Difference(len(new), len(changed), len(retired))
        back = [one.number for one in changed if known[one.number].is_retired and not one.is_retired]
        if back:
            self.notes.append(f"retired parts that the folder has are parts again: {some(back)}")
        gone = [one.number for one in retired]
        if gone:
            self.notes.append(f"parts that left the folder are retired: {some(gone)}")
        for number, wanted in still_wanted(self._books, gone).items():
            self.notes.append(f"part {number} is retired and still wanted: {'; '.join(wanted)}")

    def _equipment(self, kind: type[E], name: str, given: Sequence[E]) -> None:
        """What the folder no longer has is retired."""
        known = {one.code: one for one in self._books.find(kind)}
        new, changed = compare(known, {one.code: one for one in retired_by_file([*known.values()], given)})
        gone = [one.code for one in changed if one.is_retired and not known[one.code].is_retired]
        self._books.add(new)
        self._books.replace(changed)
        self.counts[name] = Difference(len(new), len(changed) - len(gone), len(gone))
        if gone:
            self.notes.append(f"{name} that left the folder are retired: {some(gone)}")

    def _printers(self) -> None:
        """What the file no longer has is retired, as equipment is; without the file all stay."""
        if self._catalogue.printers is None:
            return
        known = {one.name: one for one in self._books.find(PrinterRecord)}
        now = {one.name: one for one in self._catalogue.printers}
        gone = {name: revised(one, {"is_retired": True}) for name, one in known.items() if name not in now}
        new, changed = compare(known, now | gone)
        retired = sum(one.is_retired and not known[one.name].is_retired for one in changed)
        self._books.add(new)
        self._books.replace(changed)
        self.counts["printers"] = Difference(len(new), len(changed) - retired, retired)

    def _unit_weights(self) -> None:
        known = {(one.part_number, one.lot): one for one in self._books.find(UnitWeight)}
        given = {(one.part_number, one.lot): one for one in self._catalogue.unit_weights}
        learned = {key for key, one in known.items() if one.as_of is not None}
        new, changed = compare(known, {key: one for key, one in given.items() if key not in learned})
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
        new, changed = compare(known, now)
        gone = [one for place, one in known.items() if place not in now]
        for one in gone:
            self._books.remove(kind, **{field_: getattr(one, field_) for field_ in fields})
        self._books.add(new)
        self._books.replace(changed)
        self.counts[name] = Difference(len(new), len(changed), len(gone))
