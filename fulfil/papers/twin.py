"""The twin of a paper: the same sheet as plain text for a screen reader, and as JSON for programs.

Text has one idea a line, in the order of the paper; what is empty isn't said. JSON has every field, totals included;
masses are strings that keep the scale's digits, days and times are ISO 8601.

>>> from datetime import date
>>> from fulfil.records.part import Supply
>>> from fulfil.records.sheets import ShortListSheet, ShortRow, WaitingOrder
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
pieces to buy: 0
<BLANKLINE>
>>> json_text(sheet)[:40]
'{"paper": "Short list", "document_number'
"""

import json
import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from datetime import date, time
from decimal import Decimal
from enum import Enum
from typing import Any, TypeAlias

from fulfil.quantities import print_grams, print_metres
from fulfil.records.sheets import (
    BagLabelSheet,
    CartCardSheet,
    ChecklistSheet,
    CountingTableSheet,
    DayReportSheet,
    ManifestSheet,
    PackageLabelSheet,
    PackingListSheet,
    PickListSheet,
    ShortListSheet,
    UnitWeightCardSheet,
)
from fulfil.records.sheets.line_chart import LineChart

Sheet: TypeAlias = (
    BagLabelSheet
    | CartCardSheet
    | ChecklistSheet
    | CountingTableSheet
    | DayReportSheet
    | ManifestSheet
    | PackageLabelSheet
    | PackingListSheet
    | PickListSheet
    | ShortListSheet
    | UnitWeightCardSheet
)

_NAMES: dict[type, tuple[str, str]] = {
    BagLabelSheet: ("Bag label", "bag_code"),
    CartCardSheet: ("Cart card", "document_number"),
    ChecklistSheet: ("Checklist", "document_number"),
    CountingTableSheet: ("What this scale can count", "document_number"),
    DayReportSheet: ("Day report", "document_number"),
    ManifestSheet: ("Manifest", "document_number"),
    PackageLabelSheet: ("Package label", "package_number"),
    PackingListSheet: ("Packing list", "document_number"),
    PickListSheet: ("Pick list", "document_number"),
    ShortListSheet: ("Short list", "document_number"),
    UnitWeightCardSheet: ("Unit-weight card", "document_number"),
}
_UNSPOKEN = ("route_map", "language")


def _named(sheet: Any) -> tuple[str, str]:
    """What the paper is called, and the field that numbers it: by the sheet's own name where it isn't listed."""
    kind = type(sheet)
    words = re.sub(r"(?<!^)([A-Z])", lambda found: f" {found[0].lower()}", kind.__name__.removesuffix("Sheet"))
    names = [field.name for field in fields(sheet)]
    return _NAMES.get(kind, (words, "document_number" if "document_number" in names else names[0]))


def json_text(sheet: Sheet) -> str:
    """The whole sheet as one JSON object, with the paper's name."""
    name, _ = _named(sheet)
    return json.dumps({"paper": name, **_plain(sheet)}, ensure_ascii=False)


def text(sheet: Sheet) -> str:
    """The sheet as lines of plain text; a map isn't spoken, its stops stand in the list."""
    name, number = _named(sheet)
    rows = [f"{name} {getattr(sheet, number)}"]
    for field, value in _members(sheet):
        if field != number and field not in _UNSPOKEN:
            rows += _spoken(field, value, "")
    return "\n".join([*rows, ""])


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


def _spoken(field: str, value: Any, indent: str) -> list[str]:
    label = field.removesuffix("_g").removesuffix("_mm").replace("_", " ")
    if value is None or value in ("", ()):
        return []
    if isinstance(value, LineChart):
        return _chart(label, value, indent)
    if not isinstance(value, tuple):
        return [f"{indent}{label}: {_word(field, value)}"]
    rows = [f"{indent}{label}:"]
    for i, each in enumerate(value, start=1):
        rows += _row(f"{indent}  {i}. ", each, f"{indent}    ")
    return rows


def _row(start: str, each: Any, indent: str) -> list[str]:
    """One sheet inside another: its single words on one line, its own rows below."""
    if isinstance(each, tuple):
        heading, rows = each
        return [f"{start}{heading}", *(line for row in rows for line in _row(f"{indent}- ", row, indent))]
    if not is_dataclass(each):
        return [f"{start}{each}"]
    members = list(_members(each))
    long = (tuple, LineChart)
    words = [line for field, value in members if not isinstance(value, long) for line in _spoken(field, value, "")]
    below = [line for field, value in members if isinstance(value, long) for line in _spoken(field, value, indent)]
    return [start + "; ".join(words), *below]


def _chart(label: str, chart: LineChart, indent: str) -> list[str]:
    """A picture as its numbers: a line of text for each line, in points (x, y)."""
    rows = [f"{indent}{label}: {chart.y_label} by {chart.x_label}"]
    for line in chart.lines:
        points = " ".join(f"({x:g}, {y:.4g})" for x, y in line.points)
        rows.append(f"{indent}  {line.label or 'the same'} ({line.kind}): {points}")
    return rows


def _word(field: str, value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Decimal):
        return print_grams(value)
    if field == "length_mm":
        return print_metres(value)
    return str(_plain(value))
