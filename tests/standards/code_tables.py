"""Writes the tables of countries and currencies from the data set that the tests compare them with.

``python -m tests.standards.code_tables --write`` after a newer data set is installed; then read the difference like
code: a country that is new needs a home and names (:mod:`fulfil.stock.starting.address`).
"""

import csv
import sys
from collections.abc import Iterable
from importlib.metadata import version
from io import StringIO
from pathlib import Path

import pycountry

from fulfil import standards

TABLES = Path(standards.__file__).parent / "tables"
COUNTRY = ("alpha_2", "alpha_3", "numeric", "name", "official_name", "common_name")
CURRENCY = ("alpha_3", "numeric", "name")


def made() -> dict[str, str]:
    """Both files, by their names."""
    listed = f"of the Debian iso-codes, as in pycountry {version('pycountry')}, LGPL-2.1-or-later (LGPL-2.1.txt beside)"
    return {
        "countries.csv": _table(f"# ISO 3166-1, codes and English names {listed}", COUNTRY, pycountry.countries),
        "currencies.csv": _table(f"# ISO 4217, codes and English names {listed}", CURRENCY, pycountry.currencies),
    }


def _table(source: str, columns: tuple[str, ...], records: Iterable[object]) -> str:
    text = StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(sorted([getattr(one, name, None) or "" for name in columns] for one in records))
    return f"{source}\n{text.getvalue()}"


if __name__ == "__main__" and "--write" in sys.argv:
    for name, content in made().items():
        (TABLES / name).write_text(content, "utf-8")
