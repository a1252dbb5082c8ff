"""Published tables as CSV files; the first line of each, after ``#``, says where its numbers come from.

>>> read("country_names.csv")[0]["country"]
'AD'
>>> source("country_names.csv")[:15]
'Territory names'

Another package's tables are read by its name. Values stay text, with the digits as printed; the module that uses a
table gives them their type.
"""

import csv
from functools import cache
from importlib.resources import files


@cache
def read(name: str, package: str = __name__) -> tuple[dict[str, str], ...]:
    """The rows of the table in file `name`, in the file's order."""
    return tuple(csv.DictReader(_lines(name, package)[1:]))


def source(name: str, package: str = __name__) -> str:
    """Where the numbers of the table in file `name` come from, as its first line says."""
    return _lines(name, package)[0].removeprefix("#").strip()


def _lines(name: str, package: str) -> list[str]:
    return files(package).joinpath(name).read_text(encoding="utf-8").splitlines()
