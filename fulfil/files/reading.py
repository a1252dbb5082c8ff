"""From rows to records: each cell is read by its column, each record validates itself, every fault is a finding.

>>> from fulfil.files.rows.csv_rows import Row
>>> from fulfil.records.equipment import BagType
>>> from fulfil.files.equipment import BAGS
>>> file = FileReading("bags.csv", [])
>>> cells = {"bag_type": "S", "width_mm": "60", "height_mm": "0", "tare_g": "-1", "tare_sd_g": "0.1"}
>>> file.record(BagType, BAGS, Row(2, cells), usable_volume_mm3=1) is None
True
>>> for finding in file.findings:
...     print(finding)
bags.csv, line 2, tare_g '-1': expected digits with at most one '.', no sign, no unit. Do: correct the cell and import again.
bags.csv, line 2, max_load_g '': must not be empty. Do: correct the cell and import again.
"""  # noqa: E501 - a finding is one sentence

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError
from sqlmodel import SQLModel

from fulfil.errors import Refusal
from fulfil.files.columns import CORRECT, Column
from fulfil.files.rows.csv_rows import Row
from fulfil.records.finding import Finding
from fulfil.records.text import tidy

R = TypeVar("R", bound=SQLModel)


@dataclass
class FileReading:
    """Reads one file; gathers its findings, and where each key stands.

    ``names`` are the file's own names of our columns, where they differ, for the findings.
    """

    source: str
    findings: list[Finding]
    _seen: dict[tuple[str, str], str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)

    def find(self, row: Row, column: str, says: str, do: str = CORRECT) -> None:
        """Notes what is wrong with a cell."""
        value = row.cells.get(column, "")
        self.findings.append(
            Finding(self.source, row.line, row.place + self.names.get(column, column), tidy(value)[:60], says, do)
        )

    def record(self, kind: type[R], columns: Sequence[Column], row: Row, **given: object) -> R | None:
        """The row as a record, None with a finding or more; ``given`` are fields that have no cell of their own."""
        values = self.values(columns, row)
        return None if values is None else self.build(kind, columns, row, values | given)

    def values(self, columns: Sequence[Column], row: Row) -> dict[str, Any] | None:
        """The cells of a row by field, empty ones left out; None with a finding or more."""
        values: dict[str, Any] = {}
        is_fine = True
        for column in columns:
            cell = row.cells.get(column.name, "")
            if cell:
                try:
                    values[column.field] = column.read(cell)
                except Refusal as refusal:
                    is_fine = False
                    self.find(row, column.name, f"expected {refusal.expected}", column.do)
            elif column.is_needed:
                is_fine = False
                self.find(row, column.name, "must not be empty", column.do)
        return values if is_fine else None

    def build(self, kind: type[R], columns: Sequence[Column], row: Row, values: dict[str, Any]) -> R | None:
        """A validated record, None with a finding or more."""
        try:
            return kind.model_validate(values)
        except ValidationError as trouble:
            names = {column.field: column for column in columns}
            for error in trouble.errors():
                column = names.get(str(error["loc"][0])) if error["loc"] else None
                self.find(row, column.name if column else "", _says(error["msg"]), column.do if column else CORRECT)
            return None

    def is_new(self, row: Row, column: str, key: str) -> bool:
        """Whether the key comes for the first time in this file (letters of either case are the same)."""
        seen = self._seen.setdefault((column, tidy(key).casefold()), _where(row))
        if seen == _where(row):
            return True
        self.find(row, column, f"is there already, in {seen}", "keep one of the two")
        return False


def _where(row: Row) -> str:
    return row.place or f"line {row.line}"


def _says(message: str) -> str:
    says = message.removeprefix("Value error, ").replace("Input should be", "must be").replace("String should", "must")
    return says[:1].lower() + says[1:]
