"""How a carrier's bills are read: proposed from one of them, shown as they would come in, kept under the carrier.

Nothing of a bill comes in here; :func:`fulfil.despatch.reconcile.take_bill` takes it in with the mapping that is kept.
"""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from pathlib import Path

from fulfil.errors import FileRefused, UnknownRefused
from fulfil.files.bill_mapping import BillMapping
from fulfil.files.carrier_bill import BillLineRead, read_bill
from fulfil.files.catalogue import read_bytes
from fulfil.files.mapping.bill_proposing import BillProposal, BillShop, propose_bill
from fulfil.files.rows.table import read_table
from fulfil.records.despatch.bill_mapping import KeptBillMapping
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Surcharge
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.identifier import Identifier
from fulfil.shop.package_numbers import packages_by_number
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class BillPreview:
    """A bill as it would come in: its lines, the packages of them that are ours, sums by currency, what is off."""

    lines: tuple[BillLineRead, ...]
    ours: frozenset[str]
    sums_minor: dict[str, int]
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]


def bill_example(shop: Shop, path: Path) -> BillProposal:
    """A mapping proposed from one of a carrier's bills.

    Raises:
        FileRefused: the file can't be read as a table.
    """
    table = read_table(read_bytes(path), path.name)
    if table.findings or not table.rows:
        expected = str(table.findings[0]) if table.findings else "a header and at least one row"
        raise FileRefused("propose a mapping from", path, expected)
    with shop.reading() as books:
        masses = {one.number: _mass_g(one) for one in books.find(Package)}
        others = {one.number: masses.get(one.package_number) for one in books.find(Identifier)}
        known = BillShop(
            packages={number.casefold(): mass_g for number, mass_g in masses.items()},
            services={one.code: one.name for one in books.find(Service)},
            surcharges=tuple(sorted({one.name for one in books.find(Surcharge)})),
            currency=books.settings().currency,
            others={number.casefold(): mass_g for number, mass_g in others.items()},
        )
    return propose_bill(table, known)


def preview_bill(shop: Shop, path: Path, mapping: BillMapping) -> BillPreview:
    """The bill as the mapping reads it.

    Raises:
        FileRefused: the file can't be read.
    """
    read = read_bill(read_bytes(path), path.name, mapping)
    sums: dict[str, int] = {}
    for line in read.lines:
        sums[line.currency] = sums.get(line.currency, 0) + line.charge_minor
    with shop.reading() as books:
        ours = frozenset(packages_by_number(books, {line.package_number for line in read.lines}))
    return BillPreview(read.lines, ours, sums, read.findings, read.notes)


def keep_bill_mapping(shop: Shop, carrier: str, mapping: BillMapping, *, at: datetime, person: str) -> None:
    """Remembers how a carrier's bills are read.

    Raises:
        UnknownRefused: it turns a word into a service that the shop doesn't have.
    """
    with shop.writing() as books:
        for code in mapping.services.values():
            books.need(Service, code)
        books.replace([KeptBillMapping(carrier=carrier, mapping_json=mapping.to_json(), at=at, person=person)])
        books.journal(at=at, person=person, event=Happening.MAPPING_KEPT, subject=f"bills of {carrier}"[:40])


def kept_bill_mapping(books: Books, carrier: str) -> BillMapping:
    """The mapping of a carrier's bills.

    Raises:
        UnknownRefused: the shop keeps none.
    """
    kept = books.get(KeptBillMapping, carrier)
    if kept is None:
        known = ", ".join(one.carrier for one in books.find(KeptBillMapping)) or "none yet"
        raise UnknownRefused("read bills of", carrier, f"a carrier with a mapping ({known}); fulfil services map")
    return BillMapping.from_json(kept.mapping_json)


def _mass_g(package: Package) -> Decimal | None:
    return package.expected_g if package.gross_g is None else package.gross_g
