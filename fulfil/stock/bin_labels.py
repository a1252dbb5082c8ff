"""The labels of bins as sheets, aisle by aisle, in the order in which they hang; and the sheet to count bins on.

An *empty* bin is the cheapest to count, and a figure there is a mistake found: the count sheet lists the bins that are
empty by the books (common practice of cycle counting).
"""

from collections.abc import Sequence
from datetime import date

from fulfil.errors import UnknownRefused
from fulfil.papers.repeated import caution_words, part_words
from fulfil.papers.sheet import head
from fulfil.papers.stock.bin_label import BinLabelSheet
from fulfil.papers.stock.count_sheet import NUMBERED, CountRow, CountSheet
from fulfil.records.part import Part
from fulfil.records.place import Bin
from fulfil.shop.asking import ByNumber, from_books
from fulfil.store.books import Books


def labels_by_aisle(books: Books, aisles: Sequence[str]) -> dict[str, list[BinLabelSheet]]:
    """Labels by aisle: along one side, then along the other, bottom to top; no aisles mean all of them.

    Raises:
        UnknownRefused: an aisle without bins.
    """
    bins = books.find(Bin, aisle=list(aisles)) if aisles else books.find(Bin)
    known = {place.aisle for place in bins}
    for aisle in aisles:
        if aisle not in known:
            raise UnknownRefused("print the bin labels of aisle", aisle, "an aisle with bins")
    parts = {part.number: part for part in books.find(Part, number=sorted({place.part_number for place in bins}))}
    labels: dict[str, list[BinLabelSheet]] = {aisle: [] for aisle in sorted(known)}
    for place in sorted(bins, key=_as_hung):
        labels[place.aisle].append(bin_label_sheet(place, parts[place.part_number]))
    return labels


def bin_label_sheet(place: Bin, part: Part) -> BinLabelSheet:
    """A bin's label: its code and the part that belongs there."""
    return BinLabelSheet(
        bin_code=place.code,
        **part_words(part),
        cautions=caution_words(part),
    )


def count_sheet(books: Books, *, day: date) -> CountSheet:
    """The bins that are empty by the books, in the order in which they hang: is anything in them?"""
    bins = sorted(books.find(Bin, pieces=0), key=lambda one: (one.aisle, *_as_hung(one)))
    parts = {part.number: part for part in books.find(Part, number=sorted({place.part_number for place in bins}))}
    return CountSheet(
        **head(books.settings(), NUMBERED.number(day), day),
        why="empty by the books",
        rows=tuple(
            CountRow(bin_code=one.code, **part_words(part), cautions=caution_words(part))
            for one in bins
            for part in [parts[one.part_number]]
        ),
    )


def _as_hung(place: Bin) -> tuple[str, int, int, str]:
    return place.side, place.section, place.level, place.code


BY_NUMBER = (
    ByNumber(
        BinLabelSheet, Bin, lambda books, place, _: (bin_label_sheet(place, books.need(Part, place.part_number)),)
    ),
)
BY_NAME = (from_books(CountSheet, lambda books, at: (count_sheet(books, day=at.date()),)),)
