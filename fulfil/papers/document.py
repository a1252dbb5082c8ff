"""Documents: papers of one or more pages with the same head and foot on each.

Every paper of this kind has ``pdf(sheets, *, page, printer_dpi) -> bytes``, made here from its own ``leaves``.
"""

from collections.abc import Callable, Sequence
from typing import Protocol, TypeVar

from fulfil.papers.compose import compose
from fulfil.papers.elements.document_head import document_head
from fulfil.papers.elements.page_foot import page_foot
from fulfil.papers.ink import Block
from fulfil.papers.page import size_of
from fulfil.papers.render import Leaf, render
from fulfil.records.settings import Paper
from fulfil.records.sheets.document import DocumentSheet

SheetT = TypeVar("SheetT", bound=DocumentSheet, contravariant=True)


class Leaves(Protocol[SheetT]):
    """Makes the pages of one sheet."""

    def __call__(self, sheet: SheetT, /, *, page: Paper, printer_dpi: int) -> list[Leaf]:
        """The pages of one sheet."""
        ...


def document_leaves(
    sheet: DocumentSheet,
    title: str,
    *,
    facts: Sequence[str],
    blocks: Callable[[float, float], Sequence[Block]],
    page: Paper,
    printer_dpi: int,
    strong: str = "",
) -> list[Leaf]:
    """The pages of one document; ``blocks(width, room)`` fills pages whose free area is that large, in mm."""
    size = size_of(page)
    width = size.content_mm
    head = document_head(title, sheet.document_number, facts, strong=strong, width=width, printer_dpi=printer_dpi)

    def foot(number: int, pages: int) -> Block:
        return page_foot(sheet.shop_name, sheet.document_number, sheet.notice, number, pages, width)

    room = size.room_mm - head.height_mm - foot(1, 1).height_mm
    return compose(blocks(width, room), size=size, head=head, foot=foot)


def document_pdf(
    sheets: Sequence[SheetT], leaves: Leaves[SheetT], *, title: str, page: Paper, printer_dpi: int
) -> bytes:
    """All sheets in one file, each with its own page count; at least one sheet is needed."""
    made = [leaf for sheet in sheets for leaf in leaves(sheet, page=page, printer_dpi=printer_dpi)]
    more = f" and {len(sheets) - 1} more" if sheets[1:] else ""
    first = sheets[0]
    return render(made, title=f"{title} {first.document_number}{more}", author=first.shop_name, language=first.language)
