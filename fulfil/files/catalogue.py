"""A catalogue is a folder of tables, read whole: with one finding there is no catalogue, only the list of findings.

Each is CSV or a workbook, told by its bytes: ``parts.csv`` may as well be ``parts.xlsx``, but not both. The words above
the columns, units and signs are fitted by :mod:`fulfil.files.mapping.fitting`, and said.

``settings.csv`` may be missing (then the house rules hold), and so may ``zones.csv``, ``prices.csv``,
``surcharges.csv`` and ``sdr_rates.csv`` (then no charge is worked out), ``closures.csv``, ``unit_weights.csv`` and
``printers.csv`` (then printers stay as they are);
every other file is needed. :func:`fulfil.files.catalogue_written.catalogue_files` writes them.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.closures import CLOSURES, read_closures
from fulfil.files.columns import Column, needed_names, optional_names
from fulfil.files.equipment import (
    BAGS,
    BOXES,
    SCALES,
    SERVICES,
    SETTINGS,
    read_bag_types,
    read_box_types,
    read_scales,
    read_services,
    read_settings,
)
from fulfil.files.mapping.fitting import fitted
from fulfil.files.parts import PARTS, WEIGHTS, read_parts
from fulfil.files.places import BINS, ROOM, read_bins, read_room
from fulfil.files.prices import (
    PRICES,
    SDR_RATES,
    SURCHARGES,
    ZONES,
    read_prices,
    read_sdr_rates,
    read_surcharges,
    read_zones,
)
from fulfil.files.printers import PRINTERS, read_printers
from fulfil.files.reading import FileReading
from fulfil.files.rows.csv_rows import Row, Rows, rows_of
from fulfil.files.rows.table import read_table
from fulfil.files.unit_weights import UNIT_WEIGHTS, read_unit_weights
from fulfil.progress import each
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.service import Closure, Service
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.equipment import BagType, BoxType, PrinterRecord, ScaleRecord
from fulfil.records.finding import Finding
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement
from fulfil.records.settings import Settings
from fulfil.records.text import tidy

FILES: dict[str, tuple[Column, ...]] = {
    "parts.csv": (*PARTS, *WEIGHTS),
    "bins.csv": BINS,
    "room.csv": ROOM,
    "scales.csv": SCALES,
    "bags.csv": BAGS,
    "boxes.csv": BOXES,
    "services.csv": SERVICES,
    "settings.csv": SETTINGS,
    "zones.csv": ZONES,
    "prices.csv": PRICES,
    "surcharges.csv": SURCHARGES,
    "sdr_rates.csv": SDR_RATES,
    "closures.csv": CLOSURES,
    "unit_weights.csv": UNIT_WEIGHTS,
    "printers.csv": PRINTERS,
}
"""The files of a catalogue and their columns."""

ENDS = (".csv", ".xlsx", ".ods", ".tsv", ".txt")
"""What the name of a file may end in; what it is, its bytes say."""
MAY_BE_MISSING = (
    "settings.csv", "zones.csv", "prices.csv", "surcharges.csv", "sdr_rates.csv", "closures.csv", "unit_weights.csv",
    "printers.csv",
)  # fmt: skip


@dataclass(frozen=True)
class Catalogue:
    """Everything that a shop has and how it is set; ``printers`` None: no file says."""

    parts: tuple[Part, ...]
    unit_weights: tuple[UnitWeight, ...]
    bins: tuple[Bin, ...]
    room: tuple[RoomElement, ...]
    scales: tuple[ScaleRecord, ...]
    bag_types: tuple[BagType, ...]
    box_types: tuple[BoxType, ...]
    services: tuple[Service, ...]
    settings: Settings
    zones: tuple[Zone, ...] = ()
    prices: tuple[Price, ...] = ()
    surcharges: tuple[Surcharge, ...] = ()
    sdr_rates: tuple[SdrRateEntry, ...] = ()
    closures: tuple[Closure, ...] = ()
    printers: tuple[PrinterRecord, ...] | None = ()


@dataclass(frozen=True)
class CatalogueRead:
    """The catalogue of a folder, None where there are findings; ``notes`` say what was assumed.

    ``digests`` are SHA-256 of the files' bytes, by name.
    """

    catalogue: Catalogue | None
    findings: tuple[Finding, ...]
    notes: tuple[str, ...] = ()
    digests: dict[str, str] = field(default_factory=dict)


def read_catalogue(folder: Path, *, encoding: str = "", delimiter: str = "", decimal: str = "") -> CatalogueRead:
    """Reads the folder; encoding, delimiter and decimal sign of its files are found out where they aren't named.

    Raises:
        FileRefused: there is no such folder, or ``encoding`` is no encoding.
    """
    if not folder.is_dir():
        raise FileRefused("read the catalogue", folder, "a folder with parts.csv, bins.csv and the others")
    reading = _Folder(folder, encoding, delimiter, decimal)
    parts_file, rows = reading.open("parts.csv")
    parts = read_parts(_told(rows, "parts"), parts_file)
    numbers = frozenset(tidy(row.cells["part"]) for row in rows) if reading.is_whole("parts.csv") else None
    room_file, rows = reading.open("room.csv")
    room = read_room(rows, room_file) if reading.is_whole("room.csv") else ()
    bins_file, rows = reading.open("bins.csv")
    bins = read_bins(_told(rows, "bins"), bins_file, room=None if room_file.findings else room, parts=numbers)
    services_rows, services_file = reading.open_rows("services.csv")
    codes = frozenset(tidy(row.cells["service"]) for row in services_rows)
    prices = read_prices(*reading.open_rows("prices.csv"), services=codes)
    own_weights = read_unit_weights(*reading.open_rows("unit_weights.csv"), parts=numbers, given=parts.unit_weights)
    catalogue = Catalogue(
        parts=parts.parts,
        unit_weights=(*parts.unit_weights, *own_weights),
        bins=bins,
        room=room,
        scales=read_scales(*reading.open_rows("scales.csv")),
        bag_types=read_bag_types(*reading.open_rows("bags.csv")),
        box_types=read_box_types(*reading.open_rows("boxes.csv")),
        services=read_services(services_rows, services_file),
        settings=read_settings(*reading.open_rows("settings.csv")),
        zones=read_zones(*reading.open_rows("zones.csv"), services=codes),
        prices=prices,
        surcharges=read_surcharges(*reading.open_rows("surcharges.csv"), services=codes, prices=prices),
        sdr_rates=read_sdr_rates(*reading.open_rows("sdr_rates.csv")),
        closures=read_closures(*reading.open_rows("closures.csv"), services=codes),
        printers=read_printers(*reading.open_rows("printers.csv")) if reading.has("printers.csv") else None,
    )
    findings = reading.findings()
    notes = (*reading.notes, *((_volume_note(parts.estimated_volumes),) if parts.estimated_volumes else ()))
    return CatalogueRead(None if findings else catalogue, findings, notes, reading.digests)


def _volume_note(count: int) -> str:
    return f"bulk volume of {count} parts estimated from weight and longest side; measure 100 pieces of each"


def _told(rows: Sequence[Row], what: str) -> Iterator[Row]:
    """The rows of a long file, telling how far they are."""
    return each(f"reading {what}", rows)


class _Folder:
    """The files of a folder, each read once."""

    def __init__(self, folder: Path, encoding: str, delimiter: str, decimal: str) -> None:
        self.digests: dict[str, str] = {}
        self.notes: list[str] = []
        self._folder = folder
        self._encoding, self._delimiter, self._decimal = encoding, delimiter, decimal
        self._shape: list[Finding] = []
        self._broken: set[str] = set()
        self._files: list[FileReading] = []

    def open(self, name: str) -> tuple[FileReading, Sequence[Row]]:
        """Where the file's findings go, and its rows."""
        read = self._rows(name)
        self._shape += read.findings
        if read.findings:
            self._broken.add(name)
        self._files.append(FileReading(read.source, []))
        return self._files[-1], read.rows

    def open_rows(self, name: str) -> tuple[Sequence[Row], FileReading]:
        file, rows = self.open(name)
        return rows, file

    def is_whole(self, name: str) -> bool:
        """Whether the file has the right shape."""
        return name not in self._broken

    def has(self, name: str) -> bool:
        """Whether the file is there, as any kind of table."""
        return any((self._folder / f"{Path(name).stem}{end}").exists() for end in ENDS)

    def findings(self) -> tuple[Finding, ...]:
        """All findings, file by file in the order of ``FILES``, by line."""
        place = {f"{Path(name).stem}{end}": index for index, name in enumerate(FILES) for end in ENDS}
        found = self._shape + [finding for file in self._files for finding in file.findings]
        return tuple(sorted(found, key=lambda one: (place[one.source], one.line or 0)))

    def _rows(self, name: str) -> Rows:
        columns = FILES[name]
        there = [path for end in ENDS if (path := self._folder / f"{Path(name).stem}{end}").exists()]
        if not there:
            do = f"add the file with the columns {', '.join(needed_names(columns))}"
            missing = Finding(name, None, "", "", "is missing in the folder", do)
            return Rows(name, (), () if name in MAY_BE_MISSING else (missing,))
        if len(there) > 1:
            says = f"is there as {' and as '.join(path.name for path in there)}"
            return Rows(name, (), (Finding(name, None, "", "", says, "keep the one that is right"),))
        path = there[0]
        raw = read_bytes(path)
        self.digests[path.name] = sha256(raw).hexdigest()
        table = read_table(raw, path.name, encoding=self._encoding, delimiter=self._delimiter)
        if not table.findings:
            table = fitted(table, columns, kind="parts" if name == "parts.csv" else "", decimal=self._decimal)
        self.notes += table.notes
        if table.findings:
            return Rows(path.name, (), table.findings)
        return rows_of(table, needed=needed_names(columns), optional=optional_names(columns))


def read_bytes(path: Path) -> bytes:
    """A file's bytes.

    Raises:
        FileRefused: it can't be read.
    """
    try:
        return path.read_bytes()
    except OSError as trouble:
        raise FileRefused("read the file", path, f"a file that can be read ({trouble.strerror})") from trouble
