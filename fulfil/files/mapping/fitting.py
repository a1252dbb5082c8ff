r"""A table of ours as people write it: other words above the columns, units beside them, decimal commas.

Fitted, it is the table that the columns read: our names, our units, decimal points. Each thing that was taken to mean
something is said in a note. What may mean two things is one finding, not one a cell.

>>> from fulfil.files.parts import PARTS, WEIGHTS
>>> raw = "Teilenummer;Bezeichnung;Gewicht (kg);Preis EUR\nA;Kugel;0,00011;1,50\n".encode()
>>> fit = fitted(read_table(raw, "parts.csv"), (*PARTS, *WEIGHTS), kind="parts")
>>> fit.header, fit.rows[0][1]
(('part', 'description', 'unit_weight_g', 'price', 'currency'), ('A', 'Kugel', '0.11', '1.50', 'EUR'))
>>> for note in fit.notes[1:]:
...     print(note)
parts.csv: 'Teilenummer' is read as part
parts.csv: 'Bezeichnung' is read as description
parts.csv: 'Gewicht (kg)' is read as unit_weight_g, times 1000
parts.csv: 'Preis EUR' is read as price in EUR
parts.csv: decimal comma, as in '0,00011'

A unit in a cell holds for that cell, whatever stands above it:

>>> raw = b"part;longest;weight (g)\nA;3,8 cm;0,412 g\nB;42 mm;1,2 kg\n"
>>> [cells for _, cells in fitted(read_table(raw, "parts.csv"), (*PARTS, *WEIGHTS), kind="parts").rows]
[('A', '38', '0.412'), ('B', '42', '1200')]
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from fulfil.files.columns import Column, amount, estimate, grams, mm, pieces, pieces_or_none, whole
from fulfil.files.mapping.header_words import FACTORS, meant, measured, split_unit
from fulfil.files.mapping.number_signs import bare, plain, seen
from fulfil.files.rows.table import Table, read_table
from fulfil.records.finding import Finding

__all__ = ["decimal_sign_of", "fitted", "read_table"]

_DECIMAL = (amount, estimate, grams)
_NUMERIC = (*_DECIMAL, mm, pieces, pieces_or_none, whole)
_DIMENSIONS = (("_mm3", "mm3"), ("_mm", "mm"), ("_g", "g"))


@dataclass(frozen=True)
class _Head:
    """One column of the file: our name, what its numbers are to be multiplied by, the currency above it."""

    name: str
    factor: Decimal = Decimal(1)
    currency: str = ""


def fitted(table: Table, columns: Sequence[Column], *, kind: str = "", decimal: str = "") -> Table:
    """The table with our names, units and decimal points.

    ``kind`` is the list of words above the columns that holds, ``decimal`` the decimal sign where it is named.
    """
    known = {column.name: column for column in columns}
    heads, notes, findings = _heads(table, known, kind)
    numeric = {place for place, head in enumerate(heads) if head.name in known and known[head.name].read in _NUMERIC}
    beside = _units_in_cells(table, heads, numeric)
    table = replace(table, rows=_numbers_alone(table, beside))
    notes += _said_of_units(table, heads, beside)
    scaled = {place for place in numeric if heads[place].factor != 1} | {
        place for (_, place), (_, by) in beside.items() if by != 1
    }
    exact = {place for place in numeric if known[heads[place].name].read in _DECIMAL} | scaled
    sign, said, off = decimal_sign_of(table, exact, named=decimal, default=".")
    notes += said
    findings += off
    if not findings:
        findings += _lost_zeros(table, heads)
    extra = [head.currency for head in heads if head.currency and "currency" not in {one.name for one in heads}][:1]
    header = (*(head.name for head in heads), *(["currency"] if extra else []))
    rows = tuple(
        (
            line,
            (*_cells(line, cells, heads, numeric, sign, table, beside), *(extra if len(cells) == len(heads) else ())),
        )
        for line, cells in table.rows
    )
    named = {head.casefold(): one.name for head, one in zip(table.header, heads, strict=True)}
    numbers = frozenset((line, named.get(name, name)) for line, name in table.numbers)
    return replace(
        table,
        header=header,
        rows=rows,
        notes=(*table.notes, *notes),
        findings=(*table.findings, *findings),
        numbers=numbers,
    )


def decimal_sign_of(
    table: Table, places: Iterable[int], *, named: str = "", default: str = ""
) -> tuple[str, list[str], list[Finding]]:
    """The decimal sign of the columns at ``places``, a note where it is a comma, one finding where nobody can say.

    ``default`` is the sign of a number that may be either, and only where it is written with that sign.
    """
    wanted = set(places)
    cells = [
        cell
        for line, row in table.rows
        for place, cell in enumerate(row)
        if place in wanted and cell and (line, table.header[place].casefold()) not in table.numbers
    ]
    return sign_of(table.source, cells, named=named, default=default)


def sign_of(
    source: str, cells: Iterable[str], *, named: str = "", default: str = ""
) -> tuple[str, list[str], list[Finding]]:
    """The same of the cells of a file."""
    if named:
        return named, [], []
    proof = seen(cells)
    do = "say which sign it is with --decimal"
    if proof.is_mixed:
        says = f"has decimal commas ('{proof.comma}') and decimal points ('{proof.point}')"
        return default or ".", [], [Finding(source, None, "", "", says, do)]
    if not proof.sign and proof.unclear and not (default and default in proof.unclear):
        says = f"has numbers such as '{proof.unclear}' that may be thousands or decimals"
        return default or ".", [], [Finding(source, None, "", "", says, do)]
    if proof.sign == ",":
        return ",", [f"{source}: decimal comma, as in '{proof.comma}'"], []
    return proof.sign or default or ".", [], []


def _heads(table: Table, known: dict[str, Column], kind: str) -> tuple[list[_Head], list[str], list[Finding]]:
    heads, notes, findings = [], [], []
    taken = {name.casefold() for name in table.header if name.casefold() in known}
    for header in table.header:
        name = header.casefold()
        head = _Head(name) if name in known else _meant(header, known, kind)
        if head is None or (name not in known and head.name in taken):
            heads.append(_Head(name))
            continue
        if head.factor == 0 and _all_measured(table, len(heads), _dimension(head.name)):
            head = replace(head, factor=Decimal(1))
        if head.factor == 0:
            says = f"has no unit, it may be {head.name}"
            unit = _dimension(head.name)
            do = f"write the unit beside it, such as '{header} ({unit})'"
            findings.append(Finding(table.source, table.head_line, header, "", says, do))
            heads.append(_Head(head.name))
            continue
        taken.add(head.name)
        heads.append(head)
        if name != head.name:
            times = f", times {head.factor:f}" if head.factor != 1 else ""
            money = f" in {head.currency}" if head.currency else ""
            notes.append(f"{table.source}: '{header}' is read as {head.name}{times}{money}")
    return heads, notes, findings


def _meant(header: str, known: dict[str, Column], kind: str) -> _Head | None:
    """Ours, where the header means it; a factor of 0 where the unit is missing."""
    word, unit = split_unit(header)
    spelled = {name.replace("_", " "): name for name in known}
    stems = {_stem(name): name for name in known}
    said = [spelled.get(word, ""), stems.get(word, ""), *(meant(header, kind) if kind else ())]
    for name in said:
        if name not in known:
            continue
        if _dimension(name):
            return _Head(name, FACTORS[_dimension(name)].get(unit, Decimal(0)))
        if not unit or (known[name].read is amount and unit not in FACTORS["g"]):
            return _Head(name, currency=unit)
    return None


def _stem(name: str) -> str:
    for end, _ in _DIMENSIONS:
        if name.endswith(end):
            return name.removesuffix(end).replace("_", " ")
    return name.replace("_", " ")


def _dimension(name: str) -> str:
    """Our unit at the end of a column's name; empty where it has none."""
    return next((unit for end, unit in _DIMENSIONS if name.endswith(end)), "")


def _all_measured(table: Table, place: int, unit: str) -> bool:
    filled = [cells[place] for _, cells in table.rows if len(cells) > place and cells[place]]
    return bool(filled) and all(measured(cell, unit)[1] for cell in filled)


def _units_in_cells(table: Table, heads: list[_Head], numeric: set[int]) -> dict[tuple[int, int], tuple[str, Decimal]]:
    """By line and column: the number of a cell that has its own unit, and what one of that unit is in ours."""
    found = {}
    for line, cells in table.rows:
        for place in numeric:
            unit = _dimension(heads[place].name)
            if unit and place < len(cells) and cells[place][-1:].isalnum() and not cells[place][-1:].isdecimal():
                number, factor = measured(cells[place], unit)
                if factor:
                    found[line, place] = (number, factor)
    return found


def _numbers_alone(
    table: Table, beside: dict[tuple[int, int], tuple[str, Decimal]]
) -> tuple[tuple[int, tuple[str, ...]], ...]:
    return tuple(
        (line, tuple(beside[line, place][0] if (line, place) in beside else cell for place, cell in enumerate(cells)))
        for line, cells in table.rows
    )


def _said_of_units(table: Table, heads: list[_Head], beside: dict[tuple[int, int], tuple[str, Decimal]]) -> list[str]:
    count = {place: sum(1 for _, one in beside if one == place) for place in sorted({place for _, place in beside})}
    return [
        f"{table.source}: {cells} cell{'s' * (cells != 1)} of {heads[place].name} with an own unit, read by it"
        for place, cells in count.items()
    ]


def _cells(
    line: int,
    cells: tuple[str, ...],
    heads: list[_Head],
    numeric: set[int],
    sign: str,
    table: Table,
    beside: dict[tuple[int, int], tuple[str, Decimal]],
) -> tuple[str, ...]:
    if len(cells) != len(heads):
        return cells
    made = list(cells)
    for place in numeric:
        head = heads[place]
        is_number = (line, table.header[place].casefold()) in table.numbers
        cell = made[place]
        if is_number or (sign == "." and cell.isascii() and cell.replace(".", "", 1).isdigit()):
            written = cell
        else:
            written = plain(bare(cell) if head.name.endswith("price") else cell, sign)
        factor = beside.get((line, place), ("", head.factor))[1]
        if factor != 1 and written.replace(".", "", 1).isdecimal() and written.isascii():
            scaled = Decimal(written) * factor
            written = f"{scaled.normalize():f}"
        made[place] = written
    return tuple(made)


def _lost_zeros(table: Table, heads: list[_Head]) -> list[Finding]:
    """One finding for a column of part numbers that a workbook keeps as numbers."""
    found = []
    for header, head in zip(table.header, heads, strict=True):
        lines = sorted(line for line, name in table.numbers if name == header.casefold() and line > table.head_line)
        if lines and head.name in ("part", "post_code"):
            says = f"holds numbers in {len(lines)} lines, so zeros in front are lost"
            do = "make the column text and type them again; where no zero is lost, save the sheet as CSV"
            found.append(Finding(table.source, lines[0], header, "", says, do))
    return found
