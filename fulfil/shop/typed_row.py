"""One row of a catalogue's file, typed at the counter instead of written: read by the reader of that file.

>>> from fulfil.files.places import ROOM, read_room
>>> row, file = typed_row(ROOM, {"element": "aisle", "nmae": "3 "}, "aisle 3")
>>> row.cells["nmae"], str(file.findings[0])
('3', "aisle 3, nmae '3 ': is no column of the file. Do: use one of element, from, length_mm, name, one_way, to, x_mm, y_mm.")
>>> differences({"price": "0.06", "size": ""}, {"price": "0.07", "size": ""})
(('price', ('0.06', '0.07')),)
"""  # noqa: E501 - a finding is one sentence

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fulfil.files.columns import CORRECT, Column
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.finding import Finding

Differences = tuple[tuple[str, tuple[str, str]], ...]
"""Columns that differ, each with its cell before and now."""


def typed_row(columns: Sequence[Column], cells: Mapping[str, str], source: str) -> tuple[Row, FileReading]:
    """The cells as a row, and where its findings go; one that is no column of the file is a finding already."""
    known = sorted(column.name for column in columns)
    unknown = [
        Finding(source, None, name, cell, "is no column of the file", f"use one of {', '.join(known)}")
        for name, cell in cells.items()
        if name not in known
    ]
    return Row(None, {name: cell.strip() for name, cell in cells.items()}), FileReading(source, unknown)


def said_of(file: FileReading) -> tuple[Finding, ...]:
    """The findings in words for somebody who typed: there is no file to import again."""
    return tuple(
        replace(one, says=one.says.replace("parts.csv", "the shop"), do="correct it" if one.do == CORRECT else one.do)
        for one in file.findings
    )


def differences(before: Mapping[str, str], now: Mapping[str, str]) -> Differences:
    """What is different between two rows, by column; a cell that isn't there is an empty one."""
    return tuple((name, (before.get(name, ""), cell)) for name, cell in now.items() if before.get(name, "") != cell)
