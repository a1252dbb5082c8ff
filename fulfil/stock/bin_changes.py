"""One bin is added, changed or retired by itself, by the same rules as a whole catalogue.

What is typed are cells of ``bins.csv``, by the names of its columns, and they go through the reader of that file,
against the shop's room and parts. A new bin's ``pieces`` are its opening count; later the level changes by counts,
receipts and adjustments only.

A bin may move at any time; whoever holds a pick list with its old place is named. It takes another part, or leaves the
shop, only when nothing ties it (:mod:`fulfil.walks.bin_places`). What is in the books of a retired bin stays.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.files.catalogue_written import Cells, bin_cells
from fulfil.files.places import BINS, read_bins
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.part import Part
from fulfil.records.place import Bin, RoomElement
from fulfil.records.revised import revised
from fulfil.shop.typed_row import Differences, differences, said_of, typed_row
from fulfil.stock.part_changes import some
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.bin_places import count_bins, need_free, walks_to


@dataclass(frozen=True)
class BinChanged:
    """A bin as it is now, what differs (before, now) by column, whom to tell; nothing where findings are."""

    findings: tuple[Finding, ...]
    place: Bin | None = None
    differences: Differences = ()
    tells: tuple[str, ...] = ()


def add_bin(shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str) -> BinChanged:
    """Adds a bin and books its opening count; ``cells`` are those of ``bins.csv`` by column, ``pieces`` 0 if not given.

    Raises:
        StoreRefused: the shop can't be written; the bin wasn't added.
    """
    with shop.writing() as books:
        given, findings = _read(books, code, {"pieces": "0", **cells, "bin": code})
        if given is None or findings:
            return BinChanged(findings)
        same = [one.code for one in books.find(Bin) if one.code.casefold() == given.code.casefold()]
        if same:
            says, do = "is a bin of the shop already", f"fulfil bins change {same[0]}"
            return BinChanged((Finding(f"bin {code}", None, "bin", same[0], says, do),))
        books.add([revised(given, {"pieces": 0})])
        count_bins(books, {given.code: given.pieces}, source="opening count", at=at, person=person)
        changed = differences({}, bin_cells(given))
        books.journal(at=at, person=person, event=Happening.BIN_ADDED, subject=given.code, particulars=dict(changed))
    return BinChanged((), given, changed)


def change_bin(shop: Shop, code: str, cells: Mapping[str, str], *, at: datetime, person: str) -> BinChanged:
    """Changes a bin; a column that ``cells`` don't name stays.

    Raises:
        UnknownRefused: there is no such bin.
        StateRefused: a level is given, or another part while something ties the bin to the one it has.
        StoreRefused: the shop can't be written; nothing was changed.
    """
    if "pieces" in cells:
        raise StateRefused("change the pieces of the bin", code, f"a count: fulfil bins count {code} --counted PIECES")
    with shop.writing() as books:
        place = books.need(Bin, code)
        before = bin_cells(place)
        given, findings = _read(books, code, {**before, **cells})
        if given is None or findings:
            return BinChanged(findings)
        changed = differences(before, bin_cells(given))
        if given.part_number != place.part_number:
            need_free(books, place, f"give another part to the bin that holds {place.part_number},")
        if changed:
            books.replace([given])
            books.journal(at=at, person=person, event=Happening.BIN_CHANGED, subject=code, particulars=dict(changed))
        tells = _pickers(books, code) if {name for name, _ in changed} - {"lot"} else ()
    return BinChanged((), given, changed, tells)


def retire_bin(shop: Shop, code: str, *, at: datetime, person: str) -> Bin:
    """Takes an empty bin out of the shop; its code may be given again.

    Raises:
        UnknownRefused: there is no such bin.
        StateRefused: it holds pieces, pieces are promised from it, or bags with its pieces may come back.
    """
    with shop.writing() as books:
        place = books.need(Bin, code)
        need_free(books, place, "retire the bin")
        books.remove(Bin, code=code)
        particulars = {name: cell for name, cell in bin_cells(place).items() if name not in ("bin", "pieces")}
        books.journal(at=at, person=person, event=Happening.BIN_RETIRED, subject=code, particulars=particulars)
    return place


def _read(books: Books, code: str, cells: Cells) -> tuple[Bin | None, tuple[Finding, ...]]:
    """The row as the reader of ``bins.csv`` takes it."""
    row, file = typed_row(BINS, cells, f"bin {code}")
    part = books.get(Part, row.cells.get("part", ""))
    parts = frozenset() if part is None else frozenset([part.number])
    read = read_bins([row], file, room=books.find(RoomElement), parts=parts)
    return (read[0] if read else None), said_of(file)


def _pickers(books: Books, code: str) -> tuple[str, ...]:
    """Walks on paper that still go to the bin."""
    walks = walks_to(books, code)
    return (f"The pick list of {some(walks)} shows the old place: tell the picker.",) if walks else ()
