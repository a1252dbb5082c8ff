"""The bins of a catalogue against those of the shop: places follow the file, levels only where a count is meant.

What a file says of a bin's place is taken. Its level and lot are what somebody found in the bin: the opening count of a
bin that is new to the shop, and nothing at all of one that the shop knows, unless the file is asked to be a count.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TypeVar

from sqlmodel import SQLModel

from fulfil.records.finding import Finding
from fulfil.records.place import Bin
from fulfil.store.books import Books
from fulfil.walks.bin_places import count_bins, promised_from, ties_of

K = TypeVar("K", bound=Hashable)
R = TypeVar("R", bound=SQLModel)

BINS = "bins.csv"
_NAMED = 5
"""How many bins a note names."""


@dataclass
class Difference:
    """How many records of one kind were new, changed, or retired (parts) or removed (the rest)."""

    new: int = 0
    changed: int = 0
    retired: int = 0


class BinsImport:
    """The bins of one file against the books of one transaction; ``counts`` and ``notes`` are there after writing.

    ``with_stock`` takes the file's levels and lots as a count of every bin.
    """

    def __init__(self, books: Books, given: Sequence[Bin], *, with_stock: bool) -> None:
        self.counts: dict[str, Difference] = {}
        self.notes: list[str] = []
        self._books = books
        self._with_stock = with_stock
        self._bins = {one.code: one for one in books.find(Bin)}
        self._given = {one.code: one for one in given}

    def findings(self) -> list[Finding]:
        """What the books forbid."""
        return [*self._tied_bins(), *self._counts_below_promises()]

    def write(self, *, at: datetime, person: str) -> None:
        """Adds, places and removes bins; books the counts of new ones, and of all where the file is a count."""
        gone = [code for code in self._bins if code not in self._given]
        self._books.remove(Bin, code=gone)
        levels = {code: one.pieces for code, one in self._bins.items() if code in self._given}
        lots = {code: self._lot_now(one) for code, one in self._given.items()}
        # Both values come from validated records; validating 10,000 bins again would cost as much as reading them.
        placed = {
            code: one.model_copy(update={"pieces": levels.get(code, 0), "lot": lots[code]})
            for code, one in self._given.items()
        }
        new, changed = compare(self._bins, placed)
        self._books.add(new)
        self._books.replace(changed)
        self.counts["bins"] = Difference(len(new), len(changed), len(gone))
        differ = {code: one.pieces - levels.get(code, 0) for code, one in self._given.items()}
        counted = {code: n for code, n in differ.items() if n and (self._with_stock or code not in levels)}
        count_bins(self._books, counted, source=BINS, at=at, person=person)
        opened = sum(1 for code in counted if code not in levels)
        self.counts["levels"] = Difference(opened, len(counted) - opened)
        self._note_left_alone(
            {code: (levels[code], self._given[code].pieces) for code, n in differ.items() if n and code not in counted},
            {code: (placed[code].lot, one.lot) for code, one in self._given.items() if placed[code].lot != one.lot},
        )

    def _tied_bins(self) -> list[Finding]:
        """Bins that leave the file or take another part though something lies in them or is promised."""
        given = self._given
        left = [one for one in self._bins.values() if one.code not in given or _takes_another(one, given[one.code])]
        findings = []
        for code, ties in ties_of(self._books, left).items():
            stay = f"it must stay with its part {self._bins[code].part_number}"
            findings += [Finding(BINS, None, "bin", code, f"{tie.says}, so {stay}", tie.do) for tie in ties]
        return findings

    def _counts_below_promises(self) -> list[Finding]:
        """Bins of which the file counts fewer pieces than are promised; whoever waits must be told, bin by bin."""
        if not self._with_stock:
            return []
        findings = []
        for code, orders in sorted(promised_from(self._books, self._bins).items()):
            counted = self._given[code].pieces if code in self._given else None
            if counted is not None and counted < sum(orders.values()):
                says = (
                    f"of bin {code} are fewer than the {sum(orders.values())} promised to {', '.join(sorted(orders))}"
                )
                do = f"book this count alone: fulfil bins count {code} --counted {counted}"
                findings.append(Finding(BINS, None, "pieces", str(counted), says, do))
        return findings

    def _lot_now(self, given: Bin) -> str:
        """A lot is what lies in the bin, not the bin: the books know better than a file that is no count."""
        known = self._bins.get(given.code)
        if known is None or not known.pieces or self._with_stock:
            return given.lot
        return known.lot

    def _note_left_alone(self, levels: Mapping[str, tuple[int, int]], lots: Mapping[str, tuple[str, str]]) -> None:
        all_of_them = "or all of the file with: fulfil catalogue import FOLDER --with-stock"
        for what, apart, book in (
            ("level", levels, f"book a count with: fulfil bins count BIN --counted PIECES, {all_of_them}"),
            ("lot", lots, f"change it with: fulfil bins change BIN --lot LOT, {all_of_them}"),
        ):
            if apart:
                named = [f"{code}: {ours or 'none'} in the books, {theirs or 'none'} in the file"
                         for code, (ours, theirs) in sorted(apart.items())[:_NAMED]]  # fmt: skip
                more = "; …" if len(apart) > _NAMED else ""
                count = f"{len(apart)} bin{'s' if len(apart) > 1 else ''}"
                self.notes.append(f"the {what} of {count} stays as in the books ({'; '.join(named)}{more}); {book}")


def _takes_another(before: Bin, now: Bin) -> bool:
    return before.part_number != now.part_number


def compare(known: Mapping[K, R], given: Mapping[K, R]) -> tuple[list[R], list[R]]:
    """What is new, and what is different from what is known."""
    new = [one for key, one in given.items() if key not in known]
    changed = [one for key, one in given.items() if key in known and known[key] != one]
    return new, changed
