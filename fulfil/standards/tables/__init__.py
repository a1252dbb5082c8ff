"""Published tables as CSV files; the first line of each, after ``#``, says where its numbers come from.

>>> read("special_nuts.csv")[0]
{'standard': 'DIN 985', 'thread': 'M4', 'listed_g': '1.0'}
>>> source("special_nuts.csv")
'Prevailing torque nuts (DIN 985) and slotted nuts (DIN 935); weights from public trade tables, not from the standards.'

Values stay text, with the digits as printed; the module that uses a table gives them their type.
"""

import csv
from functools import cache
from importlib.resources import files


@cache
def read(name: str) -> tuple[dict[str, str], ...]:
    """The rows of the table in file `name`, in the file's order."""
    return tuple(csv.DictReader(_lines(name)[1:]))


def source(name: str) -> str:
    """Where the numbers of the table in file `name` come from, as its first line says."""
    return _lines(name)[0].removeprefix("#").strip()


def _lines(name: str) -> list[str]:
    return files(__name__).joinpath(name).read_text(encoding="utf-8").splitlines()
