"""The door to paper: sheets in, PDF files out, each whole or not at all, named by the papers themselves.

Releasing a walk prints its papers first and books the release after, so that no walk is released without paper.
"""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Protocol

from fulfil.files.written import write_all
from fulfil.papers.door import files
from fulfil.papers.faces import Face, printable
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.records.equipment import PrinterRecord
from fulfil.records.settings import Paper
from fulfil.shop.printers import made_for, printer_for, printers_of
from fulfil.shop.reprint import Reprint
from fulfil.shop.sending import NOBODY, Destination
from fulfil.store.books import Books
from fulfil.store.shop import Shop

Made = Sheet | Sequence[Sheet] | Reprint
"""What a maker makes of the books."""
Send = Callable[[Path, Destination], object]
"""Gets a file that was made for a printer to it, such as :func:`fulfil.shop.sending.send`."""


class PrintsOn(Protocol):
    """What is printed on: a shop's settings, or a reprint's own page and printer."""

    @property
    def paper(self) -> Paper:
        """The page."""

    @property
    def printer_dpi(self) -> int:
        """The printer's resolution."""


def print_papers(
    shop: Shop,
    out: Path,
    make: Callable[[Books], Made],
    *,
    name: str = "",
    on_sheets: bool = False,
    printers: Sequence[PrinterRecord] | None = None,
    send: Send | None = None,
) -> list[Path]:
    """Prints what a maker makes of the shop's books: one file for each kind of sheet, none for none.

    Args:
        shop: whose paper it is, and whose settings say on what.
        out: the folder; it is made where it is missing.
        make: the maker, such as ``lambda books: short_list_sheet(books, day=day)``.
        name: of the file, where its paper's own isn't meant.
        on_sheets: labels many on a page, to be cut.
        printers: the ones to choose from; all of the shop where none are given.
        send: is given each file that was made for a printer, with where it goes.

    Raises:
        PaperRefused: a text that can't be printed whole.
        FileRefused: a file can't be written.
    """
    with shop.reading() as books:
        made = make(books)
        settings = books.settings()
        able = printers_of(books) if printers is None else printers
        chosen = () if on_sheets else tuple(able)
    if isinstance(made, Reprint):
        return print_sheets(made.sheets, out, printer=made, name=name, on_sheets=on_sheets)
    sheets = (made,) if isinstance(made, Sheet) else made
    return print_sheets(sheets, out, printer=settings, name=name, on_sheets=on_sheets, printers=chosen, send=send)


def must_print(sheets: Sequence[Sheet], *, printer: PrintsOn) -> None:
    """Proves that sheets can be printed, before the step that they belong to is done for good; nothing is written.

    Raises:
        PaperRefused: a text that can't be printed whole.
    """
    files(sheets, page=printer.paper, printer_dpi=printer.printer_dpi)


def must_print_texts(texts: Iterable[str]) -> None:
    """Proves that the fonts of labels and lists have every character of these texts.

    >>> must_print_texts(["Žofie Vzorková", "Λ. Δείγμα", "見本"])
    >>> must_print_texts(["አዲስ"])  # doctest: +ELLIPSIS
    Traceback (most recent call last):
        ...
    fulfil.errors.PaperRefused: Cannot print 'አዲስ': expected characters of the font ...

    Raises:
        PaperRefused: a text with a character that none of them has.
    """
    for text in texts:
        for face in (Face.TEXT, Face.BOLD):
            printable(text, face)


def print_sheets(
    sheets: Iterable[Sheet],
    out: Path,
    *,
    printer: PrintsOn,
    name: str = "",
    on_sheets: bool = False,
    printers: Sequence[PrinterRecord] = (),
    send: Send | None = None,
) -> list[Path]:
    """Prints sheets that are made already; as :func:`print_papers`, each kind for the printer that it goes to.

    What goes to nobody is not printed; it can still be asked for by its number.
    """
    kinds: dict[type[Sheet], list[Sheet]] = {}
    for sheet in sheets:
        kinds.setdefault(type(sheet), []).append(sheet)
    made: dict[str, bytes] = {}
    destinations: dict[str, Destination] = {}
    for kind, each in kinds.items():
        goes_to = printer_for(paper_of(kind).file, printers)
        if goes_to is not None and goes_to.sends_to == NOBODY:
            continue
        if goes_to is None:
            made |= files(each, page=printer.paper, printer_dpi=printer.printer_dpi, name=name, on_sheets=on_sheets)
        else:
            printing = made_for(each, goes_to, page=printer.paper, name=name)
            made[printing.name] = printing.content
            destinations[printing.name] = printing.goes_to
    written = write_all(out, made)
    for path in written if send is not None else ():
        if send is not None and path.name in destinations:
            send(path, destinations[path.name])
    return written
