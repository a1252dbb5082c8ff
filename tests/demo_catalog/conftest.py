"""The files of the demo shop as rows of text, read without the package's own reader."""

import csv
import json
from pathlib import Path

import pytest
from fulfil_demo_catalog import FOLDER

Rows = list[dict[str, str]]


def read(path: Path) -> Rows:
    """Rows of a CSV file by column; a row of another width than the header fails."""
    with path.open(encoding="utf-8", newline="") as file:
        header, *lines = csv.reader(file)
    return [dict(zip(header, line, strict=True)) for line in lines]


@pytest.fixture(scope="session")
def part_rows() -> Rows:
    """Rows of parts.csv."""
    return read(FOLDER / "parts.csv")


@pytest.fixture(scope="session")
def bin_rows() -> Rows:
    """Rows of bins.csv."""
    return read(FOLDER / "bins.csv")


@pytest.fixture(scope="session")
def order_rows() -> Rows:
    """The demo day: rows of orders.csv, and those of orders_phone.json made alike, in the order of their times."""
    told = json.loads((FOLDER / "orders_phone.json").read_text(encoding="utf-8"))
    lines = [{**order, **line} for order in told for line in order.pop("lines")]
    rows = [*read(FOLDER / "orders.csv"), *lines]
    return sorted(rows, key=lambda row: (row["received_at"], row["order"], int(row["line"])))


@pytest.fixture(scope="session")
def week_rows() -> dict[str, Rows]:
    """Rows of the four days after it, by file name."""
    return {path.name: read(path) for path in sorted((FOLDER / "week").glob("*.csv"))}


@pytest.fixture(scope="session")
def room_rows() -> dict[str, tuple[Rows, Rows]]:
    """Rows of room.csv and bins.csv of the three rooms, by folder."""
    folders = {"main": FOLDER, **{path.name: path for path in sorted((FOLDER / "rooms").iterdir())}}
    return {name: (read(folder / "room.csv"), read(folder / "bins.csv")) for name, folder in folders.items()}
