"""Documents: papers of one or more pages with the same head and foot on each, every sheet with its own page count."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from enum import Enum
from typing import TypeVar

from fulfil.errors import PaperRefused
from fulfil.papers.compose import compose
from fulfil.papers.elements.caution_box import caution_box
from fulfil.papers.elements.document_head import document_head, head_again
from fulfil.papers.elements.mirrored import from_its_side
from fulfil.papers.elements.page_foot import page_foot
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.kind import FileWords, PaperKind, Printer, and_more
from fulfil.papers.page import PageSize, half_of, size_of
from fulfil.papers.render import Leaf
from fulfil.papers.sheet import DocumentSheet

DocumentT = TypeVar("DocumentT", bound=DocumentSheet)


@dataclass(frozen=True)
class Space:
    """The free area of a page in mm, and the printer's resolution for bars inside it."""

    width_mm: float
    room_mm: float
    printer_dpi: int


class Half(Enum):
    """Whether a paper is printed on half a page (A5, half a Letter page)."""

    NEVER = "never"
    WHERE_IT_FITS = "where it is one page then"
    ALWAYS = "always"


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
        half: whether it is printed on half a page.
        notes_in: the language from whose side the notes at the foot of a page begin, empty for English.
        repeats_head: the whole head stands on every page, as a paper needs that is signed and kept.
    """

    facts: Callable[[DocumentT], Sequence[str]]
    blocks: Callable[[DocumentT, Space], Sequence[Block]]
    strong: Callable[[DocumentT], str] = _no_words
    title: Callable[[DocumentT], str] | None = None
    head: Callable[[DocumentT], str] | None = None
    half: Half = Half.NEVER
    notes_in: Callable[[DocumentT], str] = _no_words
    repeats_head: bool = False

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
        if self.half is Half.ALWAYS:
            return self._on(half_of(printer.page), sheet, printer)
        if self.half is Half.WHERE_IT_FITS:
            with suppress(PaperRefused):
                pages = self._on(half_of(printer.page), sheet, printer)
                if len(pages) == 1:
                    return pages
        return self._on(size_of(printer.page), sheet, printer)

    def _on(self, size: PageSize, sheet: DocumentT, printer: Printer) -> list[Leaf]:
        width = size.content_mm
        title = self._title(sheet) if self.head is None else self.head(sheet)
        number, strong = sheet.document_number, self.strong(sheet)
        head = document_head(title, number, self.facts(sheet), strong=strong, width=width, printer_dpi=printer.dpi)
        later = head if self.repeats_head else head_again(title, number, width=width, printer_dpi=printer.dpi)

        def foot(page: int, pages: int) -> Block:
            return page_foot(sheet.shop_name, number, sheet.notice, page, pages, width)

        def noted(notes: tuple[str, ...]) -> Block:
            (box,) = from_its_side([caution_box(notes, width)], self.notes_in(sheet), width)
            return above(gap(1.5), box)

        room = size.room_mm - max(head.height_mm, later.height_mm) - foot(1, 1).height_mm
        blocks = self.blocks(sheet, Space(width, room, printer.dpi))
        return compose(blocks, size=size, head=head, later_head=later, foot=foot, noted=noted)
