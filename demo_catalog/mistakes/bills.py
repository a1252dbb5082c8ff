"""The carriers' bills of the demo day: invented files, one a service, with one mistake of each kind planted.

Each carrier writes in its own way: other columns, decimal signs, units, words for its services, code pages; beside
each bill stands the mapping that reads it. All mistakes are written down with the money that each is worth before the
files are taken in, so that the reconciliation can be held to them.

Limits: a charge for which the shop has no price can't be planted in a file; it is the shop's own table that lacks it.
"""

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from pathlib import Path

from fulfil.despatch.close import Word
from fulfil.errors import StateRefused
from fulfil.files.written import write_whole
from fulfil.records.despatch.dispatch import Package, PackageState
from fulfil.records.despatch.tariff import Charge, ChargedSurcharge, Price
from fulfil.shipping.differences import Cause, Difference
from fulfil.shipping.surcharges import percent_of
from fulfil.standards import iso4217
from fulfil.store.books import Books
from fulfil.store.shop import Shop

FUEL, REMOTE = "fuel surcharge", "remote area surcharge"
STRANGE = "P2699990001"
"""A number that the shop never gave."""
REMARK = "invented for the demo"


@dataclass(frozen=True)
class Planted:
    """A mistake in a carrier's bill: what the reconciliation must find, and for how much."""

    cause: Cause
    subject: str
    money_minor: int
    currency: str

    def is_found_in(self, differences: Iterable[Difference]) -> bool:
        """Whether one of the differences is this mistake, with its cause and to the minor unit."""
        mine = (self.cause, self.subject, self.money_minor, self.currency)
        return any((one.cause, one.subject, one.money_minor, one.currency) == mine for one in differences)


@dataclass(frozen=True)
class WrittenBill:
    """A bill and the mapping beside it, as files."""

    number: str
    bill: Path
    columns: Path


@dataclass(frozen=True)
class _Billed:
    """One line of a bill, right or wrong."""

    number: str
    service: str
    billed_g: int
    price_minor: int
    surcharges: dict[str, int]
    currency: str
    fuel_basis_points: int = 0

    @property
    def charge_minor(self) -> int:
        return self.price_minor + sum(self.surcharges.values())


def write_bills(shop: Shop, out: Path, *, day: date) -> tuple[list[WrittenBill], list[Planted]]:
    """Writes the bills and their mappings; ``COG``, ``PEND`` and ``SUND`` are the demo shop's services.

    Raises:
        StateRefused: a service has shipped too little for its mistakes.
    """
    with shop.reading() as books:
        road, planted_road = _road(_right(books, "COG"))
        air, planted_air = _air(books, _right(books, "PEND"))
        post, planted_post = _post(_right(books, "SUND"))
    texts = {
        "COG": (_road_csv(road).encode("cp1252"), _ROAD_COLUMNS),
        "PEND": (_air_csv(air).encode(), _AIR_COLUMNS),
        "SUND": (_post_csv(post).encode(), _POST_COLUMNS),
    }
    out.mkdir(parents=True, exist_ok=True)
    written = []
    for code, (content, columns) in texts.items():
        bill = WrittenBill(f"{code}-{day:%y%m%d}", out / f"{code}-{day}-bill.csv", out / f"{code}-columns.csv")
        write_whole(bill.bill, content)
        write_whole(bill.columns, columns.encode())
        written.append(bill)
    return written, [*planted_road, *planted_air, *planted_post]


def word_on(difference: Difference) -> Word:
    """What the demo's clerk says about a difference, with an invented reason."""
    is_carried_over, reason = _WORDS[difference.cause]
    return Word(difference.code, reason, is_carried_over)


_WORDS = {
    Cause.BILLED_UNKNOWN: (True, "asked the carrier whose package it is; not paid (invented)"),
    Cause.NOT_BILLED: (True, "scanned by the carrier, comes on its next bill (invented)"),
    Cause.BILLED_CURRENCY: (True, "new bill in EUR promised (invented)"),
    Cause.BILLED_NOT_SHIPPED: (False, "credit note 26-0301 received (invented)"),
    Cause.BILLED_TWICE: (False, "credit note 26-0302 received (invented)"),
    Cause.BILLED_SERVICE: (False, "credit note 26-0303 received (invented)"),
    Cause.BILLED_WEIGHT: (False, "weighing sent, credit note 26-0304 received (invented)"),
    Cause.BILLED_SURCHARGE: (False, "no remote area, credit note 26-0305 received (invented)"),
    Cause.BILLED_PRICE: (False, "credit note 26-0306 received (invented)"),
}


def _right(books: Books, service: str) -> list[_Billed]:
    """The lines as they should be, by package; the chargeable weight on them."""
    shipped = {one.number for one in books.find(Package, service_code=service, state=PackageState.SHIPPED)}
    added: dict[str, dict[str, int]] = {}
    fuel: dict[str, int] = {}
    for one in books.find(ChargedSurcharge):
        added.setdefault(one.package_number, {})[one.name] = one.amount_minor
        if one.name == FUEL:
            fuel[one.package_number] = one.basis_points
    lines = [
        _Billed(
            one.package_number, service, one.chargeable_g, one.price_minor, added.get(one.package_number, {}),
            one.currency, fuel.get(one.package_number, 0),
        )
        for one in books.find(Charge)
        if one.package_number in shipped
    ]  # fmt: skip
    if len(lines) < 8:
        raise StateRefused("plant mistakes in the bill of", service, "a day with at least 8 packages of it")
    return lines


def _road(lines: list[_Billed]) -> tuple[list[_Billed], list[Planted]]:
    """Another service than the one that was chosen, a price digit turned round, a package twice."""
    service, price, twice = (_pick(lines, place) for place in (1, 3, 5))
    dearer = _repriced(service, service.price_minor + 400, service="Express")
    turned = _repriced(price, price.price_minor + 90)
    wrong = {service.number: dearer, price.number: turned}
    return [*(wrong.get(one.number, one) for one in lines), twice], [
        _planted(Cause.BILLED_SERVICE, dearer, service),
        _planted(Cause.BILLED_PRICE, turned, price),
        _planted(Cause.BILLED_TWICE, twice),
    ]


def _air(books: Books, lines: list[_Billed]) -> tuple[list[_Billed], list[Planted]]:
    """A weight one price row up, a remote area that is none, dollars for euros, a package that is still here."""
    weight = _pick(lines, 1)
    near = next(one for one in lines[len(lines) // 3 :] if REMOTE not in one.surcharges and one != weight)
    other = next(one for one in reversed(lines) if one not in (weight, near))
    heavier = _heavier(books, weight)
    remote = replace(near, surcharges={**near.surcharges, REMOTE: 1850})
    dollars = replace(other, currency="USD")
    stopped = books.find(Package, service_code="PEND", state=PackageState.STOP)
    here = [replace(near, number=one.number, surcharges={}, price_minor=2450) for one in stopped[:1]]
    wrong = {weight.number: heavier, near.number: remote, other.number: dollars}
    return [*(wrong.get(one.number, one) for one in lines), *here], [
        _planted(Cause.BILLED_WEIGHT, heavier, weight),
        _planted(Cause.BILLED_SURCHARGE, remote, near),
        _planted(Cause.BILLED_CURRENCY, dollars),
        *(_planted(Cause.BILLED_NOT_SHIPPED, one) for one in here),
    ]


def _post(lines: list[_Billed]) -> tuple[list[_Billed], list[Planted]]:
    """A number that isn't ours, and a package left out."""
    left_out = _pick(lines, 4)
    strange = replace(_pick(lines, 2), number=STRANGE)
    not_billed = Planted(Cause.NOT_BILLED, f"package {left_out.number}", -left_out.charge_minor, left_out.currency)
    unknown = Planted(Cause.BILLED_UNKNOWN, STRANGE, strange.charge_minor, strange.currency)
    return [*(one for one in lines if one != left_out), strange], [unknown, not_billed]


def _pick(lines: Sequence[_Billed], eighth: int) -> _Billed:
    """A line so many eighths down the bill."""
    return lines[len(lines) * eighth // 8]


def _planted(cause: Cause, wrong: _Billed, right: _Billed | None = None) -> Planted:
    over = wrong.charge_minor - (right.charge_minor if right else 0)
    return Planted(cause, f"package {wrong.number}", over, wrong.currency)


def _repriced(line: _Billed, price_minor: int, *, service: str = "", billed_g: int = 0) -> _Billed:
    """A line at another price, its fuel surcharge by the same per cent."""
    surcharges = dict(line.surcharges)
    if FUEL in surcharges:
        surcharges[FUEL] = percent_of(price_minor, line.fuel_basis_points)
    return replace(
        line, price_minor=price_minor, surcharges=surcharges, service=service or line.service,
        billed_g=billed_g or line.billed_g,
    )  # fmt: skip


def _heavier(books: Books, line: _Billed) -> _Billed:
    """The line at the next row of its price table."""
    charge = books.need(Charge, line.number)
    rows = books.find(Price, service_code=line.service, valid_from=charge.valid_from, zone=charge.zone)
    row = next(one for one in sorted(rows, key=lambda one: one.up_to_g) if one.price_minor > line.price_minor)
    return _repriced(line, row.price_minor, billed_g=row.up_to_g)


def _money(minor: int, currency: str = "EUR") -> str:
    return f"{iso4217.from_minor(minor, currency):f}"


def _kg(mass_g: int) -> str:
    return f"{Decimal(mass_g).scaleb(-3):.3f}"


def _text(header: Sequence[str], rows: Iterable[Sequence[str]], separator: str) -> str:
    made = io.StringIO(newline="")
    writer = csv.writer(made, delimiter=separator, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return made.getvalue()


def _road_csv(lines: Sequence[_Billed]) -> str:
    """Semicolons, decimal commas, German words in an old code page."""
    header = (
        "Paketnummer", "Versandart", "Gewicht kg", "Fracht EUR", "Treibstoffzuschlag EUR",
        "Zuschlag für entlegene Gebiete EUR", "Bemerkung",
    )  # fmt: skip
    rows = []
    for one in lines:
        added = [_money(one.surcharges.get(name, 0)).replace(".", ",") for name in (FUEL, REMOTE)]
        word = one.service if one.service == "Express" else "Straße"
        price = _money(one.price_minor).replace(".", ",")
        rows.append((one.number, word, _kg(one.billed_g).replace(".", ","), price, *added, "erfunden"))
    return _text(header, rows, ";")


def _air_csv(lines: Sequence[_Billed]) -> str:
    """Commas, kilograms, a column for the currency; the charge holds its surcharges."""
    header = ("Shipment", "Chargeable kg", "Total", "of it fuel", "of it remote area", "Currency", "Remark")
    rows = []
    for one in lines:
        added = [_money(one.surcharges[name]) if name in one.surcharges else "" for name in (FUEL, REMOTE)]
        rows.append((one.number, _kg(one.billed_g), _money(one.charge_minor), *added, one.currency, REMARK))
    return _text(header, rows, ",")


def _post_csv(lines: Sequence[_Billed]) -> str:
    """Grams, and no surcharges."""
    rows = [(one.number, str(one.billed_g), _money(one.price_minor), REMARK) for one in lines]
    return _text(("Item", "Grams", "Postage EUR", "Remark"), rows, ",")


_ROAD_COLUMNS = """\
setting,value
package_column,Paketnummer
service_column,Versandart
service Straße,COG
weight_column,Gewicht kg
weight_unit,kg
charge_column,Fracht EUR
surcharge fuel surcharge,Treibstoffzuschlag EUR
surcharge remote area surcharge,Zuschlag für entlegene Gebiete EUR
currency,EUR
decimal_sign,","
separator,;
encoding,cp1252
"""
_AIR_COLUMNS = """\
setting,value
package_column,Shipment
weight_column,Chargeable kg
weight_unit,kg
charge_column,Total
charge_is_total,yes
surcharge fuel surcharge,of it fuel
surcharge remote area surcharge,of it remote area
currency_column,Currency
"""
_POST_COLUMNS = """\
setting,value
package_column,Item
weight_column,Grams
charge_column,Postage EUR
currency,EUR
"""
