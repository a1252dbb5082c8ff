"""Mistakes that a carrier makes in the file of a bill, not in its charges: each named with its money, and nothing else.

The right files are written by the layouts of :mod:`tests.despatch.test_bills_as_written`; here their rows are spoiled.
"""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from fulfil.store.shop import Shop
from tests.despatch.test_bills_as_written import FIRST, LAYOUTS, SECOND, Rows, agreed, differences, shop, text

__all__ = ["shop"]

SERVICES = "a currency in each row, the carrier's service words"
ON_LINES: dict[str, tuple[str, Callable[[Rows], None], list[tuple[str, str, str]]]] = {
    "dollars for euros": (
        SERVICES,
        lambda rows: rows[1].__setitem__(2, "USD"),
        [("billed in another currency", FIRST, "USD 7.80")],
    ),
    "another service than it went by": (
        SERVICES,
        lambda rows: rows[1].__setitem__(slice(1, 4), ["12.80", "EUR", "POST"]),
        [("billed as another service", FIRST, "EUR 5.00")],
    ),
    "a discount of a cent on one row": (
        SERVICES,
        lambda rows: rows.append([rows[1][0], "-0.01", "EUR", "EU-STD"]),
        [("billed price", FIRST, "EUR -0.01")],
    ),
    "a surcharge that was never agreed": (
        "a row for each kind of charge",
        lambda rows: rows.append([rows[1][0], "OVERSIZE", "4.00", ""]),
        [("billed surcharge", FIRST, "EUR 4.00")],
    ),
    "the whole bill a second time": (
        SERVICES,
        lambda rows: rows.extend([list(row) for row in rows[1:]]),
        [
            ("billed twice", SECOND, "EUR 14.28"),
            ("billed twice", FIRST, "EUR 7.80"),
            ("billed twice", "package P2603020004", "EUR 7.80"),
        ],
    ),
}


@pytest.mark.parametrize("name", ON_LINES)
def test_a_mistake_on_a_line_is_named_once(shop: Shop, tmp_path: Path, name: str) -> None:
    """Mistakes that a carrier makes in the file, not in the charges; each with its money, nothing besides."""
    form, spoil, expected = ON_LINES[name]
    mapping, path = LAYOUTS[form](tmp_path, agreed(shop))
    rows = list(csv.reader(path.read_text(encoding="utf-8").splitlines()))
    spoil(rows)
    path.write_text(text(rows), encoding="utf-8")
    mapping += "kind OVERSIZE,oversize\n" * ("kind_column" in mapping)
    assert differences(shop, tmp_path, lambda _folder, _bill: (mapping, path), []) == expected
