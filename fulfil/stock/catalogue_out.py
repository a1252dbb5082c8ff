"""The catalogue goes out: as the files that bring it in, with today's levels.

Into an empty shop they bring the same records; into this one, nothing. Of the shop's past they hold nothing: no order,
no weighing, no ledger. Kits stand in a file of their own, ``kits.csv``, which ``fulfil kits import`` reads.

A file that is there already and holds something else is somebody's: it is replaced only where that is asked for.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from fulfil.errors import FileRefused
from fulfil.files.catalogue import Catalogue, read_bytes
from fulfil.files.catalogue_written import bin_cells, catalogue_files, cells_of, file_of
from fulfil.files.places import BINS
from fulfil.files.written import write_whole
from fulfil.orders.kits import KITS
from fulfil.records.despatch.customs import SdrRateEntry
from fulfil.records.despatch.service import Closure, Service
from fulfil.records.despatch.tariff import Price, Surcharge, Zone
from fulfil.records.equipment import BagType, BoxType, PrinterRecord, ScaleRecord
from fulfil.records.kit import KitPart
from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement
from fulfil.store.books import Books
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class CatalogueExport:
    """The files written, and how many records are in each, by its name."""

    paths: tuple[Path, ...]
    records: dict[str, int]


def export_catalogue(shop: Shop, folder: Path, *, replace: bool = False) -> CatalogueExport:
    """Writes every file of the catalogue, and the kits, into a folder, which is made where there is none.

    Raises:
        FileRefused: a file with other content is there (and not ``replace``), or the folder can't be written.
    """
    with shop.reading() as books:
        files = catalogue_files(catalogue_of(books))
        kits = books.find(KitPart)
    files["kits.csv"] = file_of(KITS, (cells_of(KITS, one) for one in kits))
    return _write(folder, files, replace=replace)


def export_stock(shop: Shop, path: Path, *, replace: bool = False) -> CatalogueExport:
    """Writes every bin with its place, its part and its level by the books, as ``bins.csv`` is read.

    Raises:
        FileRefused: a file with other content is there (and not ``replace``), or it can't be written.
    """
    with shop.reading() as books:
        content = file_of(BINS, (bin_cells(place) for place in books.find(Bin)))
    return _write(path.parent, {path.name: content}, replace=replace)


def catalogue_of(books: Books) -> Catalogue:
    """What the shop has and how it is set, retired parts included."""
    return Catalogue(
        parts=tuple(books.find(Part)),
        unit_weights=tuple(books.find(UnitWeight)),
        bins=tuple(books.find(Bin)),
        room=tuple(books.find(RoomElement)),
        scales=tuple(books.find(ScaleRecord)),
        bag_types=tuple(books.find(BagType)),
        box_types=tuple(books.find(BoxType)),
        services=tuple(books.find(Service)),
        settings=books.settings(),
        zones=tuple(books.find(Zone)),
        prices=tuple(books.find(Price)),
        surcharges=tuple(books.find(Surcharge)),
        sdr_rates=tuple(books.find(SdrRateEntry)),
        closures=tuple(books.find(Closure)),
        printers=tuple(books.find(PrinterRecord)),
    )


def _write(folder: Path, files: Mapping[str, bytes], *, replace: bool) -> CatalogueExport:
    """All files are looked at before the first is written."""
    _make(folder)
    for name, content in files.items():
        if not replace and _holds_else(folder / name, content):
            raise FileRefused("write the file", folder / name, "a file that isn't there yet, or --replace")
    for name, content in files.items():
        write_whole(folder / name, content)
    return CatalogueExport(
        tuple(folder / name for name in files),
        {name: content.count(b"\r\n") - 1 for name, content in files.items()},
    )


def _holds_else(path: Path, content: bytes) -> bool:
    try:
        return path.exists() and read_bytes(path) != content
    except OSError as trouble:
        raise FileRefused("write the file", path, f"a place that can be written ({trouble.strerror})") from trouble


def _make(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as trouble:
        raise FileRefused("make the folder", folder, f"a place that can be written ({trouble.strerror})") from trouble
