"""The door to every paper: sheets of one kind in, their pages or their PDF file out; the drawing is found by the kind.

>>> from datetime import date
>>> from fulfil.papers.stock.short_list import ShortListSheet
>>> sheet = ShortListSheet(document_number="S-0007", shop_name="Example", day=date(2025, 3, 4), rows=())
>>> pdf([sheet], page=Paper.LETTER)[:5], len(leaves([sheet, sheet], page=Paper.A4))
(b'%PDF-', 2)
>>> list(files([sheet], page=Paper.A4))
['2025-03-04-short-list.pdf']
>>> pdf([], page=Paper.A4)
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print '0 sheets': expected one sheet or more.
"""

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any, TypedDict, Unpack

from fulfil.errors import PaperRefused
from fulfil.papers.kind import PaperKind, Printer
from fulfil.papers.label_sheet import LabelGrid
from fulfil.papers.page import LabelSize
from fulfil.papers.registry import paper_of
from fulfil.papers.render import Leaf, render
from fulfil.papers.sheet import Sheet
from fulfil.records.settings import Paper


class OfLabels(TypedDict, total=False):
    """How labels are printed where it isn't as usual; see :class:`~fulfil.papers.kind.Printer`."""

    size: LabelSize | None
    on_sheets: bool
    first: int
    grid: LabelGrid | None
    on_dots: bool


def pdf(sheets: Sequence[Sheet], *, page: Paper, printer_dpi: int = 300, **labels: Unpack[OfLabels]) -> bytes:
    """The sheets in one PDF file, the same bytes for the same sheets.

    Raises:
        PaperRefused: a text that can't be printed whole, a bar code too long for its place, a character that the font
            lacks, a size that the paper hasn't; no sheets, or sheets of several kinds.
    """
    return _one_kind(sheets).pdf(sheets, Printer(page=page, dpi=printer_dpi, **labels))


def leaves(sheets: Sequence[Sheet], *, page: Paper, printer_dpi: int = 300, **labels: Unpack[OfLabels]) -> list[Leaf]:
    """The pages of the sheets as marks.

    Raises:
        PaperRefused: as :func:`pdf`.
    """
    return _one_kind(sheets).leaves(sheets, Printer(page=page, dpi=printer_dpi, **labels))


def files(
    sheets: Iterable[Sheet], *, page: Paper, printer_dpi: int = 300, name: str = "", **labels: Unpack[OfLabels]
) -> dict[str, bytes]:
    """Sheets of any kinds as PDF files by their names: one for each kind, in the order of its first sheet.

    Each paper names its files itself; ``name`` (without its ending) is for sheets of one kind that mean something else
    than usual, such as badges among bench cards.

    Raises:
        PaperRefused: as :func:`pdf`, or one name for sheets of several kinds.
    """
    kinds: dict[type[Sheet], list[Sheet]] = {}
    for sheet in sheets:
        kinds.setdefault(type(sheet), []).append(sheet)
    if name and len(kinds) > 1:
        _one_kind([each[0] for each in kinds.values()])
    names = {kind: name or paper_of(kind).file_name(each) for kind, each in kinds.items()}
    return {
        f"{names[kind]}.pdf": pdf(each, page=page, printer_dpi=printer_dpi, **labels) for kind, each in kinds.items()
    }


def stack(sheets: Sequence[Sheet], *, page: Paper, printer_dpi: int = 300, title: str) -> bytes:
    """Sheets of any kinds in one PDF file, in the order given: what one printer is to print, one after the other.

    Raises:
        PaperRefused: as :func:`pdf`, but for several kinds.
    """
    printer = Printer(page=page, dpi=printer_dpi)
    made: list[Leaf] = []
    for kind, each in groupby(sheets, type):
        made += paper_of(kind).leaves([*each], printer)
    words = _one_kind(sheets[:1]).words(sheets[:1])
    return render(made, title=title, author=words.author, language=words.language)


def _one_kind(sheets: Sequence[Sheet]) -> PaperKind[Any]:
    kinds = list(dict.fromkeys(type(sheet) for sheet in sheets))
    if not kinds:
        raise PaperRefused("print", "0 sheets", "one sheet or more")
    if len(kinds) > 1:
        raise PaperRefused("print in one file", ", ".join(kind.__name__ for kind in kinds), "sheets of one kind")
    return paper_of(kinds[0])
