"""``closures.csv``: days on which a carrier doesn't collect, or the shop is closed, besides its public holidays.

The file may be missing. A row without a service closes the shop: then nobody collects. A row without a last day is one
day long.
"""

from collections.abc import Iterable

from fulfil.files.columns import Column, code
from fulfil.files.prices import day
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row
from fulfil.records.despatch.service import Closure

CLOSURES = (
    Column("service", "service_code", code, is_needed=False),
    Column("first_day", "first_day", day, do="write the day as 2026-01-31"),
    Column("last_day", "last_day", day, is_needed=False, do="write the day as 2026-01-31"),
    Column("why", "why", is_needed=False),
)


def read_closures(rows: Iterable[Row], file: FileReading, *, services: frozenset[str]) -> tuple[Closure, ...]:
    """The closures; a service that ``services.csv`` doesn't have, or the same first day twice, is a finding."""
    closures = []
    for row in rows:
        values = file.values(CLOSURES, row)
        if values is None:
            continue
        of = values.setdefault("service_code", "")
        if of and of not in services:
            file.find(row, "service", "is no service of services.csv", "correct it, or leave it empty for the shop")
            continue
        values.setdefault("last_day", values["first_day"])
        closure = file.build(Closure, CLOSURES, row, values)
        if closure is not None and file.is_new(row, "first_day", f"{of} {closure.first_day}"):
            closures.append(closure)
    return tuple(closures)
