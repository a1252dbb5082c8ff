"""One row of a catalogue's file, typed at the counter instead of written: read by the reader of that file.

>>> from fulfil.files.equipment import SCALES
>>> from fulfil.files.places import ROOM, read_room
>>> row, file = typed_row(ROOM, {"element": "aisle", "nmae": "3 "}, "aisle 3")
>>> row.cells["nmae"], str(file.findings[0])
('3', "aisle 3, nmae '3 ': is no column of the file. Do: use one of element, from, length_mm, name, one_way, to, x_mm, y_mm.")
>>> row, file = typed_row(SCALES, {"d_g": "0,01", "max_g": "1,200"}, "scale A")
>>> row.cells["d_g"], str(file.findings[0])
('0.01', "scale A, max_g '1,200': may be 1200 or 1.2. Do: write it without the comma, or with a point.")
>>> differences({"price": "0.06", "size": ""}, {"price": "0.07", "size": ""})
(('price', ('0.06', '0.07')),)
"""  # noqa: E501 - a finding is one sentence

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from fulfil.files.columns import CORRECT, Column, amount, estimate, grams
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.finding import Finding

Differences = tuple[tuple[str, tuple[str, str]], ...]
"""Columns that differ, each with its cell before and now."""


def typed_row(columns: Sequence[Column], cells: Mapping[str, str], source: str) -> tuple[Row, FileReading]:
    """The cells as a row, and where its findings go; one that is no column of the file is a finding already.

    A decimal number may be typed with a comma; one that may as well stand between thousands is a finding.
    """
    known = sorted(column.name for column in columns)
    unknown = [
        Finding(source, None, name, cell, "is no column of the file", f"use one of {', '.join(known)}")
        for name, cell in cells.items()
        if name not in known
    ]
    decimals = {column.name for column in columns if column.read in (grams, estimate, amount)}
    row, findings = dict[str, str](), []
    for name, cell in cells.items():
        row[name] = cell.strip()
        if name in decimals and row[name].count(",") == 1 and "." not in row[name]:
            if unclear := _UNCLEAR.fullmatch(row[name]):
                says = f"may be {unclear[1]}{unclear[2]} or {unclear[1]}.{unclear[2].rstrip('0') or '0'}"
                findings.append(Finding(source, None, name, row[name], says, _SAY))
            row[name] = row[name].replace(",", ".")
    return Row(None, row), FileReading(source, [*unknown, *findings])


_UNCLEAR = re.compile(r"([1-9][0-9]{0,2}),([0-9]{3})")
"""A comma before three digits: a decimal one, or one between thousands."""
_SAY = "write it without the comma, or with a point"


def said_of(file: FileReading) -> tuple[Finding, ...]:
    """The findings in words for somebody who typed: there is no file to import again."""
    return tuple(
        replace(one, says=one.says.replace("parts.csv", "the shop"), do="correct it" if one.do == CORRECT else one.do)
        for one in file.findings
    )


def differences(before: Mapping[str, str], now: Mapping[str, str]) -> Differences:
    """What is different between two rows, by column; a cell that isn't there is an empty one."""
    return tuple((name, (before.get(name, ""), cell)) for name, cell in now.items() if before.get(name, "") != cell)
