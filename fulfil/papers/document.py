"""Documents: papers of one or more pages with the same head and foot on each, every sheet with its own page count."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from fulfil.papers.compose import compose
from fulfil.papers.elements.document_head import document_head
from fulfil.papers.elements.page_foot import page_foot
from fulfil.papers.ink import Block
from fulfil.papers.kind import FileWords, PaperKind, Printer, and_more
from fulfil.papers.page import size_of
from fulfil.papers.render import Leaf
from fulfil.papers.sheet import DocumentSheet

DocumentT = TypeVar("DocumentT", bound=DocumentSheet)


@dataclass(frozen=True)
class Space:
    """The free area of a page in mm, and the printer's resolution for bars inside it."""

    width_mm: float
    room_mm: float
    printer_dpi: int


def _no_words(_: object) -> str:
    return ""


@dataclass(frozen=True, kw_only=True)
class Document(PaperKind[DocumentT]):
    """A paper on pages.

    Attributes:
        facts: words beside the title: whose, of which day.
        strong: what stands out there, empty for nothing.
        blocks: what fills the pages below, in order; how they break is decided by :mod:`fulfil.papers.compose`.
        title: of the file; None: the paper's name.
        head: the title on the page; None: the file's.
    """

    facts: Callable[[DocumentT], Sequence[str]]
    blocks: Callable[[DocumentT, Space], Sequence[Block]]
    strong: Callable[[DocumentT], str] = _no_words
    title: Callable[[DocumentT], str] | None = None
    head: Callable[[DocumentT], str] | None = None

    def leaves(self, sheets: Sequence[DocumentT], printer: Printer) -> list[Leaf]:
        """The pages of all sheets, each with its own count."""
        return [leaf for sheet in sheets for leaf in self._pages(sheet, printer)]

    def words(self, sheets: Sequence[DocumentT]) -> FileWords:
        """Title with the first sheet's number; the shop is the author."""
        first = sheets[0]
        title = f"{self._title(first)} {first.document_number}{and_more(sheets)}"
        return FileWords(title=title, author=first.shop_name, language=first.language)

    def _title(self, sheet: DocumentT) -> str:
        return self.name if self.title is None else self.title(sheet)

    def _pages(self, sheet: DocumentT, printer: Printer) -> list[Leaf]:
        size = size_of(printer.page)
        width = size.content_mm
        title = self._title(sheet) if self.head is None else self.head(sheet)
        number, strong = sheet.document_number, self.strong(sheet)
        head = document_head(title, number, self.facts(sheet), strong=strong, width=width, printer_dpi=printer.dpi)

        def foot(page: int, pages: int) -> Block:
            return page_foot(sheet.shop_name, number, sheet.notice, page, pages, width)

        room = size.room_mm - head.height_mm - foot(1, 1).height_mm
        return compose(self.blocks(sheet, Space(width, room, printer.dpi)), size=size, head=head, foot=foot)
