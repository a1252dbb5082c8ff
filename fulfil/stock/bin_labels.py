"""The labels of bins as sheets, aisle by aisle, in the order in which they hang."""

from collections.abc import Sequence

from fulfil.errors import UnknownRefused
from fulfil.papers.repeated import part_words
from fulfil.papers.stock.bin_label import BinLabelSheet
from fulfil.records.part import Part
from fulfil.records.place import Bin
from fulfil.shop.asking import ByName, ByNumber
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
    for place in sorted(bins, key=lambda one: (one.side, one.section, one.level, one.code)):
        labels[place.aisle].append(bin_label_sheet(place, parts[place.part_number]))
    return labels


def bin_label_sheet(place: Bin, part: Part) -> BinLabelSheet:
    """A bin's label: its code and the part that belongs there."""
    return BinLabelSheet(
        bin_code=place.code,
        **part_words(part),
        cautions=tuple(word.upper().replace("-", " ") for word in part.hazard_words),
    )


BY_NUMBER = (
    ByNumber(
        BinLabelSheet, Bin, lambda books, place, _: (bin_label_sheet(place, books.need(Part, place.part_number)),)
    ),
)
BY_NAME: tuple[ByName, ...] = ()
