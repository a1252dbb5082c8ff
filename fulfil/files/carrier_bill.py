r"""A carrier's bill: any table (CSV or a workbook), read by a mapping that says which of its columns is what.

The mapping is a CSV file of two columns, like ``settings.csv``:

>>> mapping = read_mapping(b'setting,value\npackage_column,Parcel no\ncharge_column,Net EUR\ncurrency,EUR\n'
...                        b'weight_column,Weight\nweight_unit,kg\ndecimal_sign,","\nseparator,;\n', "map.csv")
>>> bill = read_bill(b'Parcel no;Date;Weight;Net EUR\nP2603020001;2.3.;1,250;6,90\n', "march.csv", mapping)
>>> [(line.package_number, line.billed_g, line.charge_minor) for line in bill.lines]
[('P2603020001', Decimal('1250.000'), 690)]

Surcharges that a bill has in columns of their own are named as in ``surcharges.csv``, with the carrier's column beside
them: ``surcharge fuel surcharge,Fuel EUR``. They come on top of the charge column, unless ``charge_is_total,yes`` says
that it holds them already:

>>> mapping = read_mapping(b'setting,value\npackage_column,No\ncharge_column,Net\ncurrency,EUR\n'
...                        b'surcharge fuel surcharge,Fuel\n', "map.csv")
>>> line = read_bill(b'No,Net,Fuel\nP2603020001,6.90,0.62\n', "march.csv", mapping).lines[0]
>>> line.charge_minor, line.surcharges
(752, (('fuel surcharge', 62),))

Columns that the mapping doesn't name are left alone. A cell that can't be read is a finding, and with a finding nothing
of the file is taken; a number that isn't ours is no fault of the file and comes in.

Limits: one row a package, a second one is a second charge; weights are kept to the milligram (half to even).
"""

import json
import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, replace
from decimal import ROUND_HALF_EVEN, Decimal
from hashlib import sha256

from fulfil.errors import FileRefused, QuantityRefused, Refusal
from fulfil.files.columns import CORRECT
from fulfil.files.mapping.fitting import decimal_sign_of
from fulfil.files.mapping.header_words import differs
from fulfil.files.mapping.number_signs import amount_by
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, read_rows, rows_of
from fulfil.files.rows.table import read_table
from fulfil.records.finding import Finding
from fulfil.records.text import tidy
from fulfil.standards import iso4217

GRAMS = {"g": Decimal(1), "kg": Decimal(1000), "lb": Decimal("453.59237"), "oz": Decimal("28.349523125")}
"""Grams in a unit; the pound is exact (International yard and pound agreement, 1959)."""

SETTINGS = (
    "package_column", "charge_column", "weight_column", "weight_unit", "currency", "currency_column",
    "service_column", "tracking_column", "charge_is_total", "decimal_sign", "separator", "encoding",
)  # fmt: skip
_ASK = "ask the carrier for the file again"
_MOST_NUMBER = 40
_SERVICE_WORD = re.compile(r"service (.+)")
_SURCHARGE = re.compile(r"surcharge (.+)")


@dataclass(frozen=True)
class BillMapping:
    """Which column is what.

    ``services`` turns the carrier's word for a service into the shop's code, ``surcharges`` the shop's name of a
    surcharge into the carrier's column. ``tracking_column`` has the carrier's own number of the package.
    """

    package_column: str
    charge_column: str
    currency: str = ""
    currency_column: str = ""
    weight_column: str = ""
    weight_unit: str = "g"
    service_column: str = ""
    tracking_column: str = ""
    services: Mapping[str, str] = field(default_factory=dict)
    surcharges: Mapping[str, str] = field(default_factory=dict)
    charge_is_total: str = "no"
    decimal_sign: str = ""
    separator: str = ""
    encoding: str = ""

    def __post_init__(self) -> None:
        for name, value, is_right, expected in (
            ("package_column", self.package_column, bool(self.package_column), "the header of the package's number"),
            ("charge_column", self.charge_column, bool(self.charge_column), "the header of the charge"),
            ("weight_unit", self.weight_unit, self.weight_unit in GRAMS, f"one of {', '.join(GRAMS)}"),
            ("charge_is_total", self.charge_is_total, self.charge_is_total in ("yes", "no"), "yes or no"),
            ("decimal_sign", self.decimal_sign, self.decimal_sign in ("", ".", ","), "'.' or ','"),
            ("separator", self.separator, len(self.separator) <= 1, "one sign, such as ';'"),
            (
                "currency",
                self.currency,
                bool(self.currency or self.currency_column),
                "one such as EUR, or currency_column",
            ),
        ):
            if not is_right:
                raise FileRefused(f"use the mapping's {name}", value, expected)
        if self.currency:
            iso4217.validate(self.currency)

    def to_json(self) -> str:
        """The mapping as the shop keeps it; settings that say nothing are left out."""
        return json.dumps({name: value for name, value in asdict(self).items() if value}, ensure_ascii=False)

    @classmethod
    def from_json(cls, text: str) -> "BillMapping":
        """The mapping of :meth:`to_json`.

        >>> mapping = BillMapping("No", "Net", "EUR", services={"std": "ROAD"})
        >>> BillMapping.from_json(mapping.to_json()) == mapping
        True
        """
        return cls(**json.loads(text))


@dataclass(frozen=True)
class BillLineRead:
    """One line of the file; ``service_code`` is the shop's code, or the carrier's word where it isn't mapped.

    ``charge_minor`` is the whole charge; ``surcharges`` are its parts that have columns of their own, 0 where empty.
    ``tracking_number`` is the carrier's own number of the package, empty where the bill has none.
    """

    line_no: int
    package_number: str
    service_code: str
    billed_g: Decimal | None
    charge_minor: int
    currency: str
    surcharges: tuple[tuple[str, int], ...] = ()
    tracking_number: str = ""


@dataclass(frozen=True)
class BillRead:
    """The lines of a bill, none where there are findings; ``digest`` is SHA-256 of the file's bytes.

    ``notes`` say how the file was read and what was passed over.
    """

    lines: tuple[BillLineRead, ...]
    findings: tuple[Finding, ...]
    digest: str
    notes: tuple[str, ...] = ()


def read_mapping(raw: bytes, source: str) -> BillMapping:
    """The mapping in a file of ``setting,value`` rows.

    ``service THEIR WORD`` rows give the shop's service code, ``surcharge OUR NAME`` rows the carrier's column.

    Raises:
        FileRefused: no such file of settings, or a setting that doesn't exist or can't be.
    """
    read = read_rows(raw, source, needed=("setting", "value"), optional=())
    if read.findings:
        raise FileRefused("read the mapping", source, f"a first line 'setting,value' and settings; {read.findings[0]}")
    values: dict[str, str] = {}
    services: dict[str, str] = {}
    surcharges: dict[str, str] = {}
    for row in read.rows:
        name, value = row.cells["setting"], row.cells["value"]
        word = _SERVICE_WORD.fullmatch(name)
        if word:
            services[word[1].casefold()] = value
        elif surcharge := _SURCHARGE.fullmatch(name):
            surcharges[surcharge[1]] = value
        elif name in SETTINGS:
            values[name] = value
        else:
            expected = f"one of {', '.join(SETTINGS)}, 'service WORD' or 'surcharge NAME'"
            raise FileRefused("use the mapping's setting", name, expected)
    if missing := [name for name in ("package_column", "charge_column") if not values.get(name)]:
        raise FileRefused("use the mapping", source, f"a value for {', '.join(missing)}")
    return BillMapping(**values, services=services, surcharges=surcharges)


def read_bill(raw: bytes, source: str, mapping: BillMapping) -> BillRead:
    """The lines of a bill's bytes; every fault is a finding."""
    digest = sha256(raw).hexdigest()
    named = [mapping.package_column, mapping.charge_column, mapping.weight_column]
    named += [mapping.service_column, mapping.currency_column, mapping.tracking_column, *mapping.surcharges.values()]
    needed = tuple(dict.fromkeys(name.casefold().strip() for name in named if name))
    table = read_table(raw, source, encoding=mapping.encoding, delimiter=mapping.separator)
    header = [*table.header]
    rows = rows_of(table, needed=needed, optional=_others(header, needed))
    numbers = {mapping.charge_column, mapping.weight_column, *mapping.surcharges.values()} - {""}
    places = [place for place, name in enumerate(header) if name.casefold() in {one.casefold() for one in numbers}]
    sign, said, off = decimal_sign_of(table, places, named=mapping.decimal_sign)
    file = FileReading(source, [*rows.findings, *(off if not rows.findings else ())])
    known = replace(mapping, decimal_sign=sign)
    lines = [line for row in rows.rows if not off and (line := _line(row, known, file)) is not None]
    if not rows.rows and not file.findings:
        file.findings.append(Finding(source, None, "", "", "has no line below its header", _ASK))
    findings = tuple(_advised(finding, header) for finding in file.findings)
    return BillRead(() if findings else tuple(lines), findings, digest, (*rows.notes, *said))


def _others(header: list[str], needed: tuple[str, ...]) -> tuple[str, ...]:
    """What else the carrier's file has."""
    return tuple({name.casefold() for name in header} - set(needed))


def _advised(finding: Finding, header: list[str]) -> Finding:
    """The finding with what to do about a file that isn't ours to correct: the mapping is made to fit it."""
    do = finding.do
    if finding.says.startswith("is separated by"):
        do = "write its separator into the mapping (separator)"
    elif finding.says.startswith("holds the byte"):
        do = "write its code page into the mapping (encoding, for example cp1252)"
    elif finding.says == "is missing as a column":
        do = f"write the bill's own name for it into the mapping; the bill has {', '.join(header)}"
    elif finding.do.endswith("--decimal"):
        do = "write its decimal sign into the mapping (decimal_sign)"
    elif finding.says == "is empty":
        do = _ASK
    elif do == CORRECT:
        do = "correct the mapping (decimal_sign, weight_unit, currency), or ask the carrier for a right file"
    return replace(finding, do=do)


def _line(row: Row, mapping: BillMapping, file: FileReading) -> BillLineRead | None:
    before = len(file.findings)
    number = tidy(row.cells[mapping.package_column.casefold().strip()])
    if not number:
        file.find(row, mapping.package_column, "must not be empty", "ask the carrier which package it is")
    elif len(number) > _MOST_NUMBER or not (number.isascii() and number.isprintable()):
        says = f"must be at most {_MOST_NUMBER} letters and digits without accents"
        file.find(row, mapping.package_column, says, "look whether the mapping names the right column")
    currency = mapping.currency
    if mapping.currency_column:
        currency = row.cells[mapping.currency_column.casefold().strip()] or currency
    charge_minor, billed_g = 0, None
    surcharges = []
    for name, column in (("", mapping.charge_column), *sorted(mapping.surcharges.items())):
        cell = row.cells[column.casefold().strip()]
        if name and not cell:
            surcharges.append((name, 0))
            continue
        if said := differs(cell, currency):
            file.find(row, column.casefold(), f"is in {said}, the bill in {currency}")
            continue
        try:
            amount_minor = iso4217.to_minor(amount_by(cell, mapping.decimal_sign), iso4217.parse(currency))
        except Refusal as refusal:
            file.find(row, column.casefold(), f"expected {refusal.expected}")
            continue
        if name:
            surcharges.append((name, amount_minor))
        if not name or mapping.charge_is_total == "no":
            charge_minor += amount_minor
    weight = row.cells[mapping.weight_column.casefold().strip()] if mapping.weight_column else ""
    if weight:
        try:
            billed_g = _grams(weight, mapping)
        except Refusal as refusal:
            file.find(row, mapping.weight_column.casefold(), f"expected {refusal.expected}")
    word = row.cells[mapping.service_column.casefold().strip()] if mapping.service_column else ""
    if len(file.findings) > before:
        return None
    service = mapping.services.get(word.casefold(), word)
    tracked = tidy(row.cells[mapping.tracking_column.casefold().strip()]) if mapping.tracking_column else ""
    return BillLineRead(
        row.line or 0, number, service, billed_g, charge_minor, iso4217.parse(currency), tuple(surcharges), tracked
    )


def _grams(text: str, mapping: BillMapping) -> Decimal:
    mass_g = amount_by(text, mapping.decimal_sign) * GRAMS[mapping.weight_unit]
    if mass_g < 0:
        raise QuantityRefused("read a weight", text, "no sign")
    if mass_g > 1_000_000_000:
        raise QuantityRefused("read a weight", text, "less than 1000 t")
    return mass_g.quantize(Decimal("0.001"), ROUND_HALF_EVEN)
