"""The numbers of a package: the shop's own, SSCC, S10, and what its carrier tracks it by. One door finds it by any.

Numbers are compared folded (:func:`fulfil.shipping.identifiers.folded`): letter case, spaces, hyphens and the
application identifier 00 of a scanned SSCC count for nothing. A carrier's number is on one package at a time; a label
that was scanned for the wrong one is moved by a person's word, which the journal keeps.

A file of numbers has the columns ``package`` (any number of the package, or an order in one package) and ``number``;
other columns are left alone. It comes in whole or not at all.

Limits: a number out of the shop's range that came round again after its rest means the package that has it last.
"""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fulfil.errors import StateRefused, UnknownRefused
from fulfil.records.despatch.dispatch import HERE, Package, PackageState
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.identifier import CarrierNumber, Identifier
from fulfil.shipping.identifiers import folded
from fulfil.store.books import Books
from fulfil.store.shop import Shop

_MOST = 40


@dataclass(frozen=True)
class NumbersNoted:
    """How many numbers are new, or what is wrong with the file, of which nothing was taken then."""

    noted: int
    findings: tuple[Finding, ...] = ()


def packages_by_number(books: Books, texts: Iterable[str]) -> dict[str, str]:
    """The package of each text that is one of a package's numbers; the others are left out."""
    keys = {text: folded(text) for text in texts}
    wanted = sorted({key for key in keys.values() if key})
    issued = sorted(books.find(Identifier, number=wanted), key=lambda one: one.issued_at)
    of = {one.number: one.package_number for one in issued}
    of |= {one.number: one.package_number for one in books.find(CarrierNumber, number=wanted)}
    of |= {one.number: one.number for one in books.find(Package, number=wanted)}
    return {text: of[key] for text, key in keys.items() if key in of}


def numbers_of(books: Books, packages: Collection[str]) -> dict[str, list[str]]:
    """The numbers of these packages besides our own: out of our ranges first, then the carrier's."""
    wanted = sorted(packages)
    found: dict[str, list[str]] = defaultdict(list)
    for one in books.find(Identifier, package_number=wanted):
        found[one.package_number].append(one.number)
    for given in books.find(CarrierNumber, package_number=wanted):
        found[given.package_number].append(given.number)
    return found


def note_number(shop: Shop, package_number: str, number: str, *, at: datetime, person: str, moves: bool = False) -> str:
    """Notes the number by which the carrier tracks a package; ``moves`` takes it from another that has it.

    A number that is the package's already, out of the shop's own ranges, is noted as it is: nothing changes.

    Raises:
        UnknownRefused: there is no such package, or the number has no letter or digit.
        StateRefused: another package has it.
    """
    with shop.writing() as books:
        books.need(Package, package_number)
        _note(books, {number: package_number}, "", at, person, moves=moves)
    return folded(number)


def note_numbers(shop: Shop, path: Path, *, at: datetime, person: str) -> NumbersNoted:
    """Takes in a file of carriers' numbers, whole or not at all; the same rows again change nothing.

    Raises:
        FileRefused: the file can't be read.
    """
    # Loaded for a file only: every number that is typed short is looked up here.
    from fulfil.files.catalogue import read_bytes
    from fulfil.files.rows.csv_rows import rows_of
    from fulfil.files.rows.table import read_table

    table = read_table(read_bytes(path), path.name)
    needed = ("package", "number")
    read = rows_of(table, needed=needed, optional=tuple({name.casefold() for name in table.header} - {*needed}))
    findings = [*read.findings]
    given: dict[str, str] = {}
    with shop.writing() as books:
        meant = _meant(books, [row.cells["package"] for row in read.rows])
        key_of = {row.cells["number"]: folded(row.cells["number"]) for row in read.rows}
        has = packages_by_number(books, key_of)
        for row in read.rows:
            said, number = row.cells["package"], row.cells["number"]
            package = meant.get(said, "")
            if not package:
                says = "is no package, nor an order that is here or went in one package"
                findings.append(
                    Finding(path.name, row.line, "package", said, says, "correct it, then take the file in")
                )
            elif not 0 < len(key_of[number]) <= _MOST:
                says = f"must be 1 to {_MOST} letters and digits"
                findings.append(Finding(path.name, row.line, "number", number, says, "ask the carrier for it"))
            elif has.get(number, package) != package or given.get(number, package) != package:
                other = has.get(number) or given[number]
                do = "look at the label; move it by hand if the row is right"
                findings.append(Finding(path.name, row.line, "number", number, f"package {other} has it", do))
            else:
                given[number] = package
        if findings:
            return NumbersNoted(0, tuple(findings))
        new = {number: package for number, package in given.items() if number not in has}
        return NumbersNoted(len(_note(books, new, path.name, at, person, moves=False)) if new else 0)


def note_of_bill(
    books: Books, given: Mapping[str, str], source: str, *, at: datetime, person: str
) -> list[CarrierNumber]:
    """Notes the carrier's numbers that a bill names beside packages of ours; what is known or no number is left."""
    has = packages_by_number(books, given)
    new = {
        number: package for number, package in given.items() if number not in has and 0 < len(folded(number)) <= _MOST
    }
    return _note(books, new, source, at, person, moves=False) if new else []


def tracking_rows(books: Books, packages: Collection[str]) -> list[dict[str, str]]:
    """One row a package, for the web shop: order, service, manifest, and every number that it goes by."""
    listed = books.find(Package, number=sorted(packages))
    ours: dict[str, list[str]] = defaultdict(list)
    for one in books.find(Identifier, package_number=sorted(packages)):
        ours[one.package_number].append(one.number)
    theirs = {one.package_number: one.number for one in books.find(CarrierNumber, package_number=sorted(packages))}
    return [
        {
            "order": one.order_number,
            "package": one.number,
            "service": one.service_code,
            "manifest": one.manifest_number,
            "sscc": next((number for number in ours[one.number] if number.isdigit()), ""),
            "item_number": next((number for number in ours[one.number] if not number.isdigit()), ""),
            "carrier_number": theirs.get(one.number, ""),
        }
        for one in listed
    ]


def _meant(books: Books, texts: Collection[str]) -> dict[str, str]:
    """The packages that a file's words mean: by number, else of an order that is here, or went, in one package."""
    found = packages_by_number(books, texts)
    rest = sorted({*texts} - found.keys() - {""})
    of_order: dict[str, list[Package]] = defaultdict(list)
    for one in books.find(Package, order_number=rest, state=[*HERE, PackageState.SHIPPED]):
        of_order[one.order_number].append(one)
    return found | {order: one[0].number for order, one in of_order.items() if len(one) == 1}


def _note(
    books: Books, given: Mapping[str, str], source: str, at: datetime, person: str, *, moves: bool
) -> list[CarrierNumber]:
    has = packages_by_number(books, given)
    made = []
    for said, package in given.items():
        number = folded(said)
        if not number:
            raise UnknownRefused("note the carrier's number", said, "letters or digits")
        other = has.get(said, package)
        is_ours = bool(books.find(Identifier, number=number)) or books.get(Package, number) is not None
        if other != package and (is_ours or not moves):
            raise StateRefused("note the carrier's number", said, f"one that no other has; package {other} has it")
        if not is_ours:
            made.append(CarrierNumber(number=number, package_number=package, source=source, at=at, person=person))
    books.replace(made)
    particulars = {"numbers": {one.number: one.package_number for one in made}, "source": source}
    books.journal(
        at=at,
        person=person,
        event=Happening.CARRIER_NUMBERS_NOTED,
        subject=source or "scanned",
        particulars=particulars,
    )
    return made
