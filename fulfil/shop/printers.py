"""The shop's printers: which paper goes to which one, made for its dots and its media.

A paper goes to the printer that names it, else to one that names no paper, else it is printed as the settings say, for
a person to print. Ties: the printer's name decides.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import PaperRefused, StateRefused
from fulfil.papers.door import OfLabels, leaves, pdf
from fulfil.papers.labels import Labels
from fulfil.papers.page import LabelSize
from fulfil.papers.raster.dots import dots
from fulfil.papers.raster.languages import LANGUAGES, written
from fulfil.papers.raster.media import Media, media
from fulfil.papers.registry import paper_of, papers
from fulfil.papers.sheet import Sheet
from fulfil.records.equipment import PrinterRecord
from fulfil.records.happening import Happening
from fulfil.records.revised import revised
from fulfil.records.settings import Paper
from fulfil.shop.sending import Destination, destination
from fulfil.store.books import Books
from fulfil.store.shop import Shop

PDF = "pdf"
ENDINGS = {PDF: "pdf", "picture": "pdf", "zpl": "zpl", "epl": "epl", "tspl": "tspl"}


@dataclass(frozen=True)
class Printing:
    """Sheets of one kind as a printer takes them: the file's name, its bytes, where they go."""

    name: str
    content: bytes
    goes_to: Destination


def set_printer(shop: Shop, printer: PrinterRecord, *, at: datetime, person: str) -> PrinterRecord:
    """Adds a printer, or says anew what is known of it.

    Raises:
        PaperRefused: media, a paper or a language that there isn't.
    """
    must_suit(printer)
    with shop.writing() as books:
        is_new = books.get(PrinterRecord, printer.name) is None
        if is_new:
            books.add([printer])
        else:
            books.replace([printer])
        particulars = printer.model_dump(mode="json", exclude={"name", "is_retired"})
        books.journal(at=at, person=person, event=Happening.PRINTER_SET, subject=printer.name, particulars=particulars)
    return printer


def must_suit(printer: PrinterRecord) -> None:
    """Proves that a printer's media, papers, language and destination are ones that there are.

    Raises:
        PaperRefused: one of them isn't, or a paper isn't made for labels of that size.
    """
    lies_in = media(printer.media)
    files = {kind.file: kind for kind in papers().values()}
    for file in printer.papers.split():
        if file not in files:
            raise PaperRefused("send to a printer the paper", file, ", ".join(sorted(files)))
        kind = files[file]
        if lies_in.size is not None and not (isinstance(kind, Labels) and lies_in.size in _sizes(kind, lies_in)):
            expected = f"a paper that is made for labels of {lies_in.size}"
            raise PaperRefused(f"send to printer {printer.name} the paper", file, expected)
    if printer.language not in ENDINGS:
        raise PaperRefused("write for a printer in the language", printer.language, ", ".join((PDF, *LANGUAGES)))
    destination(printer.sends_to)


def retire_printer(shop: Shop, name: str, *, at: datetime, person: str) -> None:
    """Takes a printer out of use: its papers go elsewhere.

    Raises:
        UnknownRefused: no such printer.
        StateRefused: it is out of use.
    """
    with shop.writing() as books:
        printer = books.need(PrinterRecord, name)
        if printer.is_retired:
            raise StateRefused("take out of use the printer", name, "a printer in use")
        books.replace([revised(printer, {"is_retired": True})])
        books.journal(at=at, person=person, event=Happening.PRINTER_RETIRED, subject=name, particulars={})


def printers_of(books: Books) -> list[PrinterRecord]:
    """The printers in use, by name."""
    return sorted((one for one in books.find(PrinterRecord) if not one.is_retired), key=lambda one: one.name)


def printer_for(file: str, printers: Sequence[PrinterRecord]) -> PrinterRecord | None:
    """The printer of a paper, by the paper's file name; none where nobody was named."""
    named = [one for one in printers if file in one.papers.split()]
    general = [one for one in printers if not one.papers and media(one.media).size is None]
    return next(iter((*named, *general)), None)


def made_for(sheets: Sequence[Sheet], printer: PrinterRecord, *, page: Paper, name: str = "") -> Printing:
    """Sheets of one kind, as the printer takes them; ``page`` is the shop's, for what lies on pages.

    Raises:
        PaperRefused: what doesn't fit its media, or a bar code that its dots can't carry.
    """
    kind = paper_of(type(sheets[0]))
    lies_in = media(printer.media)
    labels = OfLabels(size=lies_in.size, on_sheets=lies_in.grid is not None, grid=lies_in.grid, on_dots=True)
    on = lies_in.page or page
    if lies_in.size is not None and not isinstance(kind, Labels):
        raise PaperRefused(f"print on labels of {lies_in.size} the paper", kind.name, "a paper of labels")
    if printer.language == PDF:
        content = pdf(sheets, page=on, printer_dpi=printer.dpi, **labels)
    else:
        drawn = leaves(sheets, page=on, printer_dpi=printer.dpi, **labels)
        pages = [dots(leaf, printer.dpi, right_mm=printer.right_mm, down_mm=printer.down_mm) for leaf in drawn]
        content = written(printer.language, pages)
    return Printing(
        f"{name or kind.file_name(sheets)}.{ENDINGS[printer.language]}", content, destination(printer.sends_to)
    )


def _sizes(kind: Labels[Sheet], lies_in: Media) -> Sequence[LabelSize]:
    return kind.on_sheets if lies_in.grid is not None else kind.sizes
