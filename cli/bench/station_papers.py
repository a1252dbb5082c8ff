"""Papers that the stations' pages print: into a folder, and from there to the printer beside the station.

Which printer a paper goes to is said once, by ``fulfil printers set``. With ``fulfil stations open --printer
pack-1=labels-1`` a printer is the one beside a station: what is printed there goes to it, and nothing from elsewhere.
A printer that doesn't answer never undoes what was done: the page says so, and the file is there.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from ..frame import made_after, paper_after

if TYPE_CHECKING:
    from fulfil.records.equipment import PrinterRecord
    from fulfil.shop.sending import Destination
    from fulfil.store.shop import Shop


_FOR_PROGRAMS = (".csv", ".json")
"""Files that go with papers and are not printed."""


@dataclass
class StationPapers:
    """Prints for stations; ``beside`` names the printers that stand beside one, by their names."""

    shop: "Shop"
    folder: Path
    clock: Callable[[], datetime]
    beside: Mapping[str, str] = field(default_factory=dict)

    def slips(self, numbers: list[str], station: str) -> list[str]:
        """Recount slips by their numbers; what was printed."""
        from fulfil.bench.recount_slips import recount_sheets
        from fulfil.shop.printing import print_papers

        said: list[str] = []
        for number in numbers:
            sent = _Sent()
            make = partial(
                print_papers, self.shop, self.folder, partial(recount_sheets, numbers=[number]),
                printers=self.printers(station), send=sent,
            )  # fmt: skip
            printed, lacks = paper_after(make, f"fulfil bench slips {number} --out FOLDER")
            said += [*sent.said, *[f"Slip to print: {path.name}" for path in printed if path not in sent.paths], *lacks]
        return said

    def order(self, order: str, person: str, station: str) -> list[str]:
        """The papers of a packed order; what was printed."""
        from fulfil.despatch.package_set import print_set
        from fulfil.shop.clock import local_day

        at = self.clock()
        with self.shop.reading() as books:
            day = local_day(at, books.settings())
        sent = _Sent()
        make = partial(
            print_set, self.shop, self.folder, orders=[order], day=day, at=at, person=person,
            printers=self.printers(station), send=sent,
        )  # fmt: skip
        done, lacks = made_after(make, f"fulfil packages papers {order} --out FOLDER")
        if done is None:
            return [*sent.said, *lacks]
        left = [path.name for path in done.written if path not in sent.paths and path.suffix not in _FOR_PROGRAMS]
        return [*sent.said, *([f"To print: {', '.join(left)}"] if left else []), *map(str, done.findings)]

    def manifest(self, number: str, station: str) -> list[str]:
        """A closed manifest; what was printed."""
        from fulfil.despatch.manifest_paper import printed_manifest
        from fulfil.shop.printing import print_papers

        sent = _Sent()
        make = partial(
            print_papers, self.shop, self.folder, lambda books: printed_manifest(books, number),
            printers=self.printers(station), send=sent,
        )  # fmt: skip
        printed, lacks = paper_after(make, f"fulfil manifests print {number} --out FOLDER")
        return [*sent.said, *(f"To print: {path.name}" for path in printed if path not in sent.paths), *lacks]

    def printers(self, station: str) -> "list[PrinterRecord]":
        """The printers for a station: its own first, then those that stand beside no other; by name."""
        from fulfil.shop.printers import printers_of

        with self.shop.reading() as books:
            able = printers_of(books)
        theirs = [one for one in able if self.beside.get(one.name) == station]
        return theirs + [one for one in able if one.name not in self.beside]


@dataclass
class _Sent:
    """Sends files to their printers; a printer that says no is said, and its file is one to print by hand."""

    said: list[str] = field(default_factory=list)
    paths: set[Path] = field(default_factory=set)

    def __call__(self, path: Path, goes_to: "Destination") -> None:
        from fulfil.errors import PaperRefused
        from fulfil.shop.sending import send

        if goes_to.way == "folder":
            return
        try:
            said = send(path, goes_to)
        except PaperRefused as refusal:
            self.said.append(f"{refusal} Print it by hand.")
            return
        self.paths.add(path)
        self.said.append(f"{said[:1].upper()}{said[1:]}")
