"""The whole first evening: every question in order, and the files that its answers become.

A file that is in the folder already stays as it is, and nothing is asked about it: edit it there. The files are written
together at the end, each whole; what was answered until then is kept as a draft in the shop.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from fulfil.files.catalogue import ENDS, FILES, read_bytes
from fulfil.files.catalogue_written import file_of
from fulfil.files.equipment import read_settings
from fulfil.files.mapping.fitting import fitted
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, rows_of
from fulfil.files.rows.table import read_table
from fulfil.files.written import write_all
from fulfil.shop.conversation import Question, Script
from fulfil.stock.starting.address import address_script
from fulfil.stock.starting.equipment import bags_script, boxes_script, scales_script, services_script
from fulfil.stock.starting.part_list import part_list_script
from fulfil.stock.starting.room import Place, room_script

WRITE = "write the files"
"""The last question's key."""


@dataclass
class Evening:
    """The rows of each file by its name, and what is to be told beside them."""

    rows: dict[str, list[dict[str, str]]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def write(self, folder: Path) -> list[Path]:
        """Writes the files.

        Raises:
            FileRefused: the folder can't be written.
        """
        return write_all(folder, {name: file_of(FILES[name], rows) for name, rows in self.rows.items()})


def is_there(folder: Path, name: str) -> bool:
    """Whether a file of the catalogue is in the folder, under any of the names that it may have."""
    return any((folder / f"{Path(name).stem}{end}").exists() for end in ENDS)


def evening_script(folder: Path) -> Script[Evening]:
    """All questions about files that aren't in the folder yet."""
    evening = Evening()
    scripts = {
        "settings.csv": address_script, "scales.csv": scales_script, "bags.csv": bags_script,
        "boxes.csv": boxes_script, "services.csv": services_script,
    }  # fmt: skip
    for name, script in scripts.items():
        if not is_there(folder, name):
            evening.rows[name] = yield from script()
    places: list[Place] = []
    if not is_there(folder, "room.csv"):
        floor = yield from room_script()
        evening.rows["room.csv"], places = floor.rows(), floor.places()
    if places and not is_there(folder, "parts.csv") and not is_there(folder, "bins.csv"):
        listed = yield from part_list_script(_currency(folder, evening), places)
        evening.rows |= {"parts.csv": [*listed.parts], "bins.csv": [*listed.bins]}
        evening.notes = listed.notes
    made = ", ".join(evening.rows) or "nothing: every file is there"
    yield Question(WRITE, f"Enter writes {made}.", _yes, "yes", is_kept=False)
    return evening


def missing_after(folder: Path) -> tuple[str, ...]:
    """The files that the shop still lacks because the room was there before: they are made by hand or by commands."""
    return tuple(name for name in ("parts.csv", "bins.csv") if not is_there(folder, name))


def _currency(folder: Path, evening: Evening) -> str:
    """The shop's currency: as it was answered now, or as the settings in the folder say."""
    if "settings.csv" in evening.rows:
        said: Mapping[str, str] = {row["setting"]: row["value"] for row in evening.rows["settings.csv"]}
        return said.get("currency", "EUR")
    path = next(folder / f"settings{end}" for end in ENDS if (folder / f"settings{end}").exists())
    table = fitted(read_table(read_bytes(path), path.name), FILES["settings.csv"])
    rows: tuple[Row, ...] = tuple(rows_of(table, needed=("setting", "value"), optional=()).rows)
    return read_settings(rows, FileReading(path.name, [])).currency


def _yes(said: str) -> bool:
    return bool(said)
