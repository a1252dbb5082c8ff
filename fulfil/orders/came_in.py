"""When the pieces in a bin came in, by the stock ledger: for first in, first out (:mod:`fulfil.planning.which_bin`).

What came in first leaves first, so what lies in a bin is what came in last, and the oldest of it is found by counting
back over what came in until the level is reached. What a check gave back came in before. Of pieces that a count found
nobody knows the day of receipt; they count as come in when they were found, or on the day that somebody says of the bin
(``received_on``). Pieces that were moved from bin to bin keep their day. Bins with one lot are equally old.

>>> layers_left([(date(2026, 3, 2), 100), (date(2026, 5, 11), 60)], 75)
[(datetime.date(2026, 3, 2), 15), (datetime.date(2026, 5, 11), 60)]

Limits: a ledger says nothing of lots, so a bin into which a new lot is poured on the old one is as old as the old one
until that is used up by count. Cost: what came into the bins asked for is read, and of what went out nothing, but for
bins from which pieces were moved on.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date

from fulfil.records.pieces import StockEntry, There
from fulfil.records.place import Bin
from fulfil.records.settings import Settings
from fulfil.shop.clock import local_day
from fulfil.store.books import Books

Layer = tuple[date, int]
"""Pieces that came in on one day."""
_BACK = frozenset({There.BAG, There.PACKAGE, There.HANDED_OVER})
"""From where pieces come back to a bin that were in one before."""


def came_in(books: Books, bins: Iterable[Bin], parts: Iterable[str]) -> dict[str, date]:
    """The day of the oldest pieces of each bin with pieces, for those of the parts that lie in several bins.

    ``bins`` hold what is free in them: what is promised is older, it leaves first.
    """
    wanted = {*parts}
    of_part: dict[str, list[Bin]] = defaultdict(list)
    for place in bins:
        if place.pieces and place.part_number in wanted:
            of_part[place.part_number].append(place)
    several = {part: places for part, places in of_part.items() if len(places) > 1}
    if not several:
        return {}
    ledger = Ledger(books, [place for places in several.values() for place in places])
    days = {place.code: ledger.oldest(place) for places in several.values() for place in places}
    of_lot: dict[tuple[str, str], date] = {}
    for places in several.values():
        for place in places:
            key = (place.part_number, place.lot or place.code)
            of_lot[key] = min(days[place.code], of_lot.get(key, date.max))
    return {place.code: of_lot[part, place.lot or place.code] for part, places in several.items() for place in places}


def layers_left(came: Sequence[Layer], level: int) -> list[Layer]:
    """What is left of pieces that came in one after the other, where the first leave first; the oldest first."""
    left: list[Layer] = []
    for day, pieces in reversed(came):
        if level <= 0:
            break
        left.append((day, min(pieces, level)))
        level -= pieces
    return left[::-1]


class Ledger:
    """What came into some bins, in its order; other bins of their parts are read when pieces came from there."""

    def __init__(self, books: Books, bins: Sequence[Bin]) -> None:
        self._books = books
        self._settings: Settings = books.settings()
        parts = sorted({place.part_number for place in bins})
        self._bins = {place.code: place for place in books.find(Bin, part_number=parts)}
        self._into: dict[str, list[StockEntry]] = defaultdict(list)
        self._part_of = {place.code: place.part_number for place in (*self._bins.values(), *bins)}
        for entry in sorted(books.find(StockEntry, to_ref=sorted(self._part_of), to_place=There.BIN), key=_number):
            if entry.part_number == self._part_of[entry.to_ref]:
                self._into[entry.to_ref].append(entry)
        self._moved: dict[int, list[Layer]] = {}
        self._went: dict[tuple[str, str], list[StockEntry]] = {}

    def oldest(self, place: Bin) -> date:
        """The day on which the oldest of what lies in a bin came in."""
        return self.layers(place)[0][0]

    def layers(self, place: Bin) -> list[Layer]:
        """All that lies in a bin, by the day on which it came in."""
        entries = self._into[place.code]
        left = layers_left(self._came(place.code, entries), place.pieces)
        return left or [(self._day(place.code, entries[0]) if entries else date.min, place.pieces)]

    def _came(self, code: str, entries: Sequence[StockEntry]) -> list[Layer]:
        came: list[Layer] = []
        for entry in entries:
            if entry.from_place is There.BIN:
                came += self._layers_of(entry)
            elif entry.from_place not in _BACK:
                came.append((self._day(code, entry), entry.pieces))
        return came

    def _layers_of(self, entry: StockEntry) -> list[Layer]:
        """The days of pieces that were moved here from another bin: its oldest at that time."""
        # Each move once: pieces that went to and fro would be looked up twice as often with every move.
        if entry.id not in self._moved:
            self._moved[entry.id] = self._found(entry)
        return self._moved[entry.id]

    def _out_of(self, code: str, part_number: str) -> list[StockEntry]:
        of = (code, part_number)
        if of not in self._went:
            self._went[of] = self._books.find(StockEntry, part_number=part_number, from_place=There.BIN, from_ref=code)
        return self._went[of]

    def _found(self, entry: StockEntry) -> list[Layer]:
        code = entry.from_ref
        before = [one for one in self._into[code] if one.id < entry.id]
        went = self._out_of(code, entry.part_number)
        level = sum(one.pieces for one in before) - sum(one.pieces for one in went if one.id < entry.id)
        taken, wanted = [], entry.pieces
        for day, pieces in layers_left(self._came(code, before), level):
            taken.append((day, min(pieces, wanted)))
            wanted -= min(pieces, wanted)
        rest = [(self._day(entry.to_ref, entry), wanted)] if wanted else []
        return [layer for layer in (*taken, *rest) if layer[1]]

    def _day(self, code: str, entry: StockEntry) -> date:
        told = self._bins[code].received_on if code in self._bins else None
        day = local_day(entry.at, self._settings)
        return told if told is not None and entry.from_place is There.FOUND else day


def _number(entry: StockEntry) -> int:
    return entry.id
