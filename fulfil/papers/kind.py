"""What every paper declares, once, in its own module: a constant ``PAPER``, from which all else is found.

A :class:`PaperKind` ties a sheet's class to the paper's name, to the files it is printed into, to its number and to
its drawing. :class:`~fulfil.papers.document.Document` and :class:`~fulfil.papers.labels.Labels` are the two kinds that
there are: pages with a head and a foot, and labels (slips, cards) of a size of their own. The registry
(:mod:`fulfil.papers.registry`) finds a paper by its sheet's class; :mod:`fulfil.papers.door` prints it.
"""

from abc import ABC, abstractmethod
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic

from fulfil.papers.label_sheet import LabelGrid
from fulfil.papers.numbering import OWN, After, OfTheDay
from fulfil.papers.page import LabelSize
from fulfil.papers.render import Leaf, render
from fulfil.papers.sheet import Sheet, SheetT
from fulfil.records.settings import Paper


@dataclass(frozen=True, kw_only=True)
class Printer:
    """What is printed on, and how.

    Attributes:
        page: the page of documents, and of labels on sheets.
        dpi: resolution of the printer, for bars of whole dots.
        size: of labels; None: the paper's usual one.
        on_sheets: labels many on a page, to be cut, instead of one by one.
        first: with ``on_sheets`` the first free place of a used sheet, from 1, row by row.
        grid: with ``on_sheets`` where a maker's sheet has its labels; None: as many as the page holds.
        on_dots: bars begin on the printer's dots; a file for no printer in particular leaves them where they stand.
    """

    page: Paper
    dpi: int = 300
    size: LabelSize | None = None
    on_sheets: bool = False
    first: int = 1
    grid: LabelGrid | None = None
    on_dots: bool = False


@dataclass(frozen=True, kw_only=True)
class FileWords:
    """What a file says of itself to readers and screen readers."""

    title: str
    author: str
    language: str


def _nothing(_: object) -> Sequence[str]:
    return ()


@dataclass(frozen=True, kw_only=True)
class PaperKind(ABC, Generic[SheetT]):
    """One paper of the shop.

    Attributes:
        sheet: the class of what it says.
        name: what it is called, by its twin and by people.
        file: what its files' names end with; by this name it is asked for, too.
        about: what its files' names begin with: the walk, order, day … that its sheets are about; empty for none.
        shows: the sheet's field that numbers it.
        numbered: how that number follows from the number or day of what the paper is about.
        also_says: lines that its twin adds, in words, for what is drawn.
    """

    sheet: type[SheetT]
    name: str
    file: str
    about: Callable[[Sequence[SheetT]], str]
    shows: str = "document_number"
    numbered: After | OfTheDay = OWN
    also_says: Callable[[SheetT], Sequence[str]] = _nothing

    @abstractmethod
    def leaves(self, sheets: Sequence[SheetT], printer: Printer) -> list[Leaf]:
        """The pages of the sheets as marks."""

    @abstractmethod
    def words(self, sheets: Sequence[SheetT]) -> FileWords:
        """Title, author and language of a file of the sheets."""

    def pdf(self, sheets: Sequence[SheetT], printer: Printer) -> bytes:
        """The sheets in one file."""
        words = self.words(sheets)
        pages = self.leaves(sheets, printer)
        return render(
            pages,
            title=words.title,
            author=words.author,
            language=words.language,
            dpi=printer.dpi if printer.on_dots else 0,
        )

    def file_name(self, sheets: Sequence[SheetT]) -> str:
        """The file's name without its ending."""
        return "-".join(word for word in (self.about(sheets), self.file) if word)

    def number_of(self, sheet: SheetT) -> str:
        """The number by which a sheet's paper is found."""
        return str(getattr(sheet, self.shows))


def and_more(sheets: Sequence[Sheet]) -> str:
    """For a title that names the first of several sheets.

    >>> and_more([Sheet()]), and_more([Sheet()] * 3)
    ('', ' and 2 more')
    """
    return f" and {len(sheets) - 1} more" if sheets[1:] else ""
