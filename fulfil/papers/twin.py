"""The twin of a paper: the same sheet as plain text for a screen reader, and as JSON for programs.

Text has one idea a line, in the order of the paper; what is empty isn't said. JSON has every field, totals included;
masses are strings that keep the scale's digits, days and times are ISO 8601.

>>> from datetime import date
>>> from fulfil.records.part import Supply
>>> from fulfil.papers.stock.short_list import ShortListSheet, ShortRow, WaitingOrder
>>> sheet = ShortListSheet(document_number="SL-1", shop_name="Example", day=date(2025, 3, 4), rows=(ShortRow(
...     part_number="GEA-0012", description="Gear", pieces=12, supply=Supply.MAKE,
...     waiting=(WaitingOrder(order_number="O-1001", pieces=12),)),))
>>> print(text(sheet))
Short list SL-1
shop name: Example
day: 2025-03-04
rows:
  1. part number: GEA-0012; description: Gear; pieces: 12; supply: make
    waiting:
      1. order number: O-1001; pieces: 12
pieces to make: 12
pieces held: 0
pieces to buy: 0
<BLANKLINE>
>>> json_text(sheet)[:40]
'{"paper": "Short list", "document_number'
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from typing import Any

from fulfil.papers.elements.line_chart import LineChart
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.quantities import print_grams, print_metres
from fulfil.standards import iso4217

_UNSPOKEN = ("route_map", "language")
_SAID = {
    "costs": "costs (order; packages; as agreed; as billed)",
    "hs_code": "HS code",
    "line_no": "line",
    "p_right": "count right",
    "package_no": "package",
    "sdr_sentence": "value",
    "stop_no": "stop",
}
"""Fields whose words aren't their names."""


def json_text(sheet: Sheet) -> str:
    """The whole sheet as one JSON object, with the paper's name."""
    return json.dumps({"paper": paper_of(type(sheet)).name, **_plain(sheet)}, ensure_ascii=False)


def text(sheet: Sheet) -> str:
    """The sheet as lines of plain text; a list's map isn't spoken, its stops stand in the list."""
    paper = paper_of(type(sheet))
    voice = _Voice(getattr(sheet, "currency", ""))
    rows = [f"{paper.name} {paper.number_of(sheet)}"]
    for field, value in _members(sheet):
        if field not in (paper.shows, *_UNSPOKEN):
            rows += voice.field(field, value, "")
    return "\n".join([*rows, *paper.also_says(sheet), ""])


def _members(sheet: Any) -> Iterator[tuple[str, Any]]:
    """Fields in order, then the totals."""
    for field in fields(sheet):
        yield field.name, getattr(sheet, field.name)
    for kind in reversed(type(sheet).__mro__):
        for name, member in vars(kind).items():
            if isinstance(member, property):
                yield name, getattr(sheet, name)


def _plain(value: Any) -> Any:
    if is_dataclass(value):
        return {name: _plain(member) for name, member in _members(value)}
    if isinstance(value, tuple):
        return [_plain(each) for each in value]
    if isinstance(value, Decimal):
        return f"{value:f}"
    if isinstance(value, date | time):
        return value.isoformat()
    return value.value if isinstance(value, Enum) else value


@dataclass(frozen=True)
class _Voice:
    """Says fields; minor units of money in the paper's currency."""

    currency: str

    def field(self, field: str, value: Any, indent: str) -> list[str]:
        """A field with its value: on one line, or with its rows below."""
        label = f"{indent}{_label(field)}:"
        if value is None or value in ("", ()):
            return []
        if isinstance(value, LineChart):
            return _chart(label, value, indent)
        if isinstance(value, tuple):
            rows = (self.row(f"{indent}  {i}. ", each, f"{indent}    ") for i, each in enumerate(value, start=1))
            return [label, *(line for row in rows for line in row)]
        if is_dataclass(value):
            rows = (self.field(name, member, f"{indent}  ") for name, member in _members(value) if name != "language")
            return [label, *(line for row in rows for line in row)]
        return [f"{label} {self.word(field, value)}"]

    def row(self, start: str, each: Any, indent: str) -> list[str]:
        """One sheet inside another: its single words on one line, its own rows below."""
        if isinstance(each, tuple) and all(isinstance(cell, str) for cell in each):
            return [start + "; ".join(each)]
        if isinstance(each, tuple):
            heading, rows = each
            return [f"{start}{heading}", *(line for one in rows for line in self.row(f"{indent}- ", one, indent))]
        if not is_dataclass(each):
            return [f"{start}{each}"]
        members = list(_members(each))
        long = (tuple, LineChart)
        words = [line for name, value in members if not isinstance(value, long) for line in self.field(name, value, "")]
        below = [line for name, value in members if isinstance(value, long) for line in self.field(name, value, indent)]
        return [start + "; ".join(words), *below]

    def word(self, field: str, value: Any) -> str:
        """A single value with its unit."""
        if isinstance(value, bool):
            return "yes" if value else "no"
        if field.endswith("_minor"):
            return iso4217.print_money(value, self.currency)
        if isinstance(value, Decimal) or field.endswith("_g"):
            return print_grams(Decimal(value))
        if field == "length_mm":
            return print_metres(value)
        return str(_plain(value))


def _label(field: str) -> str:
    """What a field is called: its words without the unit."""
    bare = field
    for unit in ("_g", "_mm", "_minor"):
        bare = bare.removesuffix(unit)
    return _SAID.get(field, bare.replace("_", " "))


def _chart(label: str, chart: LineChart, indent: str) -> list[str]:
    """A picture as its numbers: a line of text for each line, in points (x, y)."""
    rows = [f"{label} {chart.y_label} by {chart.x_label}"]
    for line in chart.lines:
        points = " ".join(f"({x:g}, {y:.4g})" for x, y in line.points)
        rows.append(f"{indent}  {line.label or 'the same'} ({line.kind}): {points}")
    return rows
