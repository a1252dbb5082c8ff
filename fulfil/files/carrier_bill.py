r"""A carrier's bill: any table (CSV or a workbook), read by a mapping that says which of its columns is what.

The mapping is a CSV file of two columns, like ``settings.csv``:

>>> from fulfil.files.bill_mapping import read_mapping
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

Where a bill has a row for each kind of charge, ``kind_column`` names the column that says which, and ``kind WORD`` rows
say what each is (:mod:`fulfil.files.bill_rows`); ``skip WORD,yes`` passes over rows with such a cell, as of totals:

>>> mapping = read_mapping(b'setting,value\npackage_column,No\ncharge_column,Net\ncurrency,EUR\nkind_column,What\n'
...                        b'kind BASE,price\nkind FUEL,fuel surcharge\nkind VAT,tax\nskip due,yes\n', "map.csv")
>>> read = read_bill(b'No,What,Net\nP1,BASE,6.90\nP1,FUEL,0.55\n,VAT,1.27\ndue,,8.72\n', "bill.csv", mapping)
>>> [(line.charge_minor, line.surcharges) for line in read.lines], read.not_compared_minor
([(745, (('fuel surcharge', 55),))], 127)

An amount in brackets is a credit, as accountants write it. How exact a weight is, the column says itself: its finest
number's last digit (``weight_step`` names another), and a difference below that is none.

Columns that the mapping doesn't name are left alone. A cell that can't be read is a finding, and with a finding nothing
of the file is taken; a number that isn't ours is no fault of the file and comes in.

Limits: without kinds a second row of a package is a second charge; weights are kept to the milligram (half to even); a
column of whole kilograms can't show a difference of less than one, but what it costs is compared to the minor unit.
"""

import re
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, Decimal
from hashlib import sha256

from fulfil.errors import QuantityRefused, Refusal
from fulfil.files.bill_mapping import GRAMS, BillMapping
from fulfil.files.bill_rows import CREDIT, NOT_COMPARED, PRICE, SKIP, KindRow, joined, step_of
from fulfil.files.columns import CORRECT
from fulfil.files.mapping.fitting import decimal_sign_of
from fulfil.files.mapping.header_words import differs
from fulfil.files.mapping.number_signs import amount_by
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, rows_of
from fulfil.files.rows.table import Table, read_table
from fulfil.records.finding import Finding
from fulfil.records.text import tidy
from fulfil.standards import iso4217

_ASK = "ask the carrier for the file again"
_MOST_NUMBER = 40
_IN_BRACKETS = re.compile(r"\((.+)\)")
_FIRST_ROWS = 20
"""So far down a header is looked for."""


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
    billed_step_g: Decimal | None = None
    rows: int = 1
    tracking_number: str = ""


@dataclass(frozen=True)
class BillRead:
    """The lines of a bill, none where there are findings; ``digest`` is SHA-256 of the file's bytes.

    ``notes`` say how the file was read and what was passed over; ``not_compared_minor`` are its duties and taxes.
    """

    lines: tuple[BillLineRead, ...]
    findings: tuple[Finding, ...]
    digest: str
    notes: tuple[str, ...] = ()
    not_compared_minor: int = 0


def read_bill(raw: bytes, source: str, mapping: BillMapping) -> BillRead:
    """The lines of a bill's bytes; every fault is a finding."""
    digest = sha256(raw).hexdigest()
    named = [mapping.package_column, mapping.charge_column, mapping.weight_column, mapping.kind_column]
    named += [mapping.service_column, mapping.currency_column, mapping.tracking_column, *mapping.surcharges.values()]
    needed = tuple(dict.fromkeys(name.casefold().strip() for name in named if name))
    table = _by_its_header(read_table(raw, source, encoding=mapping.encoding, delimiter=mapping.separator), needed)
    table, passed = _without_skips(table, mapping)
    header = [*table.header]
    rows = rows_of(table, needed=needed, optional=_others(header, needed))
    numbers = {mapping.charge_column, mapping.weight_column, *mapping.surcharges.values()} - {""}
    places = [place for place, name in enumerate(header) if name.casefold() in {one.casefold() for one in numbers}]
    sign, said, off = decimal_sign_of(table, places, named=mapping.decimal_sign)
    file = FileReading(source, [*rows.findings, *(off if not rows.findings else ())])
    known = replace(mapping, decimal_sign=sign)
    read = [line for row in rows.rows if not off and (line := _line(row, known, file)) is not None]
    if not rows.rows and not file.findings:
        file.findings.append(Finding(source, None, "", "", "has no line below its header", _ASK))
    findings = tuple(_advised(finding, header) for finding in file.findings)
    notes = (*rows.notes, *said, *passed)
    if findings:
        return BillRead((), findings, digest, notes)
    step_g = mapping.step_g
    if mapping.weight_column and step_g is None:
        weights = [row.cells[mapping.weight_column.casefold().strip()] for row in rows.rows]
        step_g = step_of(weights, sign, GRAMS[mapping.weight_unit])
    lines, others = _compared(read, known, step_g)
    notes += tuple(_told(source, kind, others) for kind in NOT_COMPARED if any(one.means == kind for one, _ in others))
    return BillRead(lines, (), digest, notes, sum(one.amount_minor for one, _ in others))


def _by_its_header(table: Table, needed: tuple[str, ...]) -> Table:
    """The table from the row on that has all columns of the mapping, where its first row hasn't."""
    if not table.header or {*needed} <= {name.casefold() for name in table.header}:
        return table
    for place, (line, cells) in enumerate(table.rows[:_FIRST_ROWS]):
        if {*needed} <= {cell.casefold() for cell in cells}:
            above = [(table.head_line, table.header), *table.rows[:place]]
            notes = [
                f"{table.source}, line {at}: '{'; '.join(filter(None, row))}' above the header is passed over"
                for at, row in above
            ]
            return replace(
                table, header=cells, head_line=line, rows=table.rows[place + 1 :], notes=(*table.notes, *notes)
            )
    return table


def _without_skips(table: Table, mapping: BillMapping) -> tuple[Table, list[str]]:
    """The table without the rows that the mapping passes over, and a note on each."""
    skips = mapping.skips | {word for word, means in mapping.kinds.items() if means == SKIP}
    kept, notes = [], []
    for line, cells in table.rows:
        found = next((cell for cell in cells if cell.casefold() in skips), "")
        if found:
            notes.append(f"{table.source}, line {line}: '{found}' is passed over, as the mapping says")
        else:
            kept.append((line, cells))
    return replace(table, rows=tuple(kept)), notes


def _compared(
    read: list[tuple[KindRow, BillLineRead]], mapping: BillMapping, step_g: Decimal | None
) -> tuple[tuple[BillLineRead, ...], list[tuple[KindRow, BillLineRead]]]:
    """The lines to compare, and the rows of duties and taxes."""
    others = [(row, line) for row, line in read if row.means in NOT_COMPARED]
    ours = [(row, line) for row, line in read if row.means not in NOT_COMPARED]
    if not mapping.kind_column:
        return tuple(replace(line, billed_step_g=step_g) for _, line in ours), others
    first = {line.line_no: line for _, line in ours}
    made = joined((row for row, _ in ours), names=mapping.surcharge_kinds)
    lines = tuple(
        replace(
            first[one.line_no],
            service_code=one.service_code,
            billed_g=one.billed_g,
            charge_minor=one.charge_minor,
            surcharges=one.surcharges,
            billed_step_g=step_g,
            rows=len(one.kinds),
        )
        for one in made
    )
    return lines, others


def _told(source: str, kind: str, others: list[tuple[KindRow, BillLineRead]]) -> str:
    """What of a bill isn't compared."""
    of_kind = [(row, line) for row, line in others if row.means == kind]
    sums = {line.currency: 0 for _, line in of_kind}
    for row, line in of_kind:
        sums[line.currency] += row.amount_minor
    money = ", ".join(iso4217.print_money(minor, currency) for currency, minor in sorted(sums.items()))
    count = "1 row" if len(of_kind) == 1 else f"{len(of_kind)} rows"
    return f"{source}: {kind} {money} in {count} is not compared; tax advice is local"


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


def _line(row: Row, mapping: BillMapping, file: FileReading) -> tuple[KindRow, BillLineRead] | None:
    before = len(file.findings)
    said = row.cells[mapping.kind_column.casefold().strip()] if mapping.kind_column else ""
    means = mapping.kinds.get(said.casefold(), "") if mapping.kind_column else PRICE
    if not means:
        do = f"write 'kind {said}' into the mapping: price, the name of a surcharge, duty, tax, credit or skip"
        file.find(row, mapping.kind_column.casefold(), "is no kind of charge that the mapping has", do)
    number = tidy(row.cells[mapping.package_column.casefold().strip()])
    if not number and means not in NOT_COMPARED:
        do = "ask the carrier which package it is, or pass its row over (kind WORD or skip WORD in the mapping)"
        file.find(row, mapping.package_column, "must not be empty", do)
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
        cell = _without_brackets(cell)
        if other := differs(cell, currency):
            file.find(row, column.casefold(), f"is in {other}, the bill in {currency}")
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
    if means == CREDIT:
        charge_minor = -abs(charge_minor)
    service = mapping.services.get(word.casefold(), word)
    line_no = row.line or 0
    made = BillLineRead(line_no, number, service, billed_g, charge_minor, iso4217.parse(currency), tuple(surcharges))
    if mapping.tracking_column:
        made = replace(made, tracking_number=tidy(row.cells[mapping.tracking_column.casefold().strip()]))
    key = "".join(filter(str.isalnum, number)).upper()
    return KindRow(line_no, key, said.casefold(), means, charge_minor, number, service, billed_g), made


def _without_brackets(cell: str) -> str:
    """An amount in brackets with its minus before it.

    >>> _without_brackets("(5.00)"), _without_brackets("€ 5.00")
    ('-5.00', '€ 5.00')
    """
    found = _IN_BRACKETS.fullmatch(cell.strip())
    return f"-{found[1].strip()}" if found else cell


def _grams(text: str, mapping: BillMapping) -> Decimal:
    mass_g = amount_by(text, mapping.decimal_sign) * GRAMS[mapping.weight_unit]
    if mass_g < 0:
        raise QuantityRefused("read a weight", text, "no sign")
    if mass_g > 1_000_000_000:
        raise QuantityRefused("read a weight", text, "less than 1000 t")
    return mass_g.quantize(Decimal("0.001"), ROUND_HALF_EVEN)
