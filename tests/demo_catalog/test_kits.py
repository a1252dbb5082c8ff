"""The invented kits are made of parts that the demo shop has."""

import csv

from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generator.kits import KITS, rows


def test_kits_are_made_of_the_shops_parts() -> None:
    """Every part is in parts.csv, every kit has two or more."""
    with (FOLDER / "parts.csv").open(encoding="utf-8", newline="") as lines:
        known = {row["part"] for row in csv.DictReader(lines)}
    made = rows()

    assert {row["part"] for row in made} <= known
    assert all(sum(row["kit"] == kit for row in made) == len(families) >= 2 for kit, families in KITS)
