"""The files of the demo shop as rows of text, read without the package's own reader."""

import csv
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
    """Rows of orders.csv, the demo day."""
    return read(FOLDER / "orders.csv")


@pytest.fixture(scope="session")
def week_rows() -> dict[str, Rows]:
    """Rows of the four days after it, by file name."""
    return {path.name: read(path) for path in sorted((FOLDER / "week").glob("*.csv"))}


@pytest.fixture(scope="session")
def room_rows() -> dict[str, tuple[Rows, Rows]]:
    """Rows of room.csv and bins.csv of the three rooms, by folder."""
    folders = {"main": FOLDER, **{path.name: path for path in sorted((FOLDER / "rooms").iterdir())}}
    return {name: (read(folder / "room.csv"), read(folder / "bins.csv")) for name, folder in folders.items()}
