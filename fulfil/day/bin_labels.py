"""Print the labels of bins, aisle by aisle, in the order in which they hang."""

from collections.abc import Sequence
from pathlib import Path

from fulfil.errors import UnknownRefused
from fulfil.files.written import write_whole
from fulfil.papers.stock import bin_label
from fulfil.records.part import Part
from fulfil.records.place import Bin
from fulfil.records.sheets.bin_label import BinLabelSheet
from fulfil.store.books import Books
from fulfil.store.shop import Shop


def print_bin_labels(shop: Shop, out: Path, *, aisles: Sequence[str] = (), on_sheets: bool = False) -> list[Path]:
    """Writes one file an aisle; no aisles mean all of them.

    Raises:
        UnknownRefused: an aisle without bins.
        PaperRefused: a bin's code that can't be printed.
    """
    with shop.reading() as books:
        settings = books.settings()
        labels = _labels(books, aisles)
    out.mkdir(parents=True, exist_ok=True)
    written = []
    for aisle, sheets in labels.items():
        paper = (
            bin_label.pdf_on_sheets(sheets, page=settings.paper, printer_dpi=settings.printer_dpi)
            if on_sheets
            else bin_label.pdf(sheets, printer_dpi=settings.printer_dpi)
        )
        path = out / f"aisle-{aisle}-bin-labels.pdf"
        write_whole(path, paper)
        written.append(path)
    return written


def _labels(books: Books, aisles: Sequence[str]) -> dict[str, list[BinLabelSheet]]:
    """Labels by aisle: along one side, then along the other, bottom to top."""
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
        part_number=part.number,
        description=part.description,
        family=part.family,
        size=part.size,
        finish=part.finish,
        cautions=tuple(word.upper().replace("-", " ") for word in part.hazard_words),
    )
