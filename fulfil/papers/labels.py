"""Labels, slips and cards: papers of a size of their own, one by one from a label printer or many on a page."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fulfil.errors import PaperRefused
from fulfil.papers.ink import Block
from fulfil.papers.kind import FileWords, PaperKind, Printer
from fulfil.papers.label_sheet import label_sheets
from fulfil.papers.page import LabelSize, label_page
from fulfil.papers.render import Leaf
from fulfil.papers.sheet import SheetT


def _by_us(_: object) -> str:
    return "fulfil"


def _english(_: object) -> str:
    return "en"


@dataclass(frozen=True, kw_only=True)
class Labels(PaperKind[SheetT]):
    """A paper of labels.

    Attributes:
        face: one label inside its margins, in a size and for a printer's resolution.
        title: of the file.
        sizes: in which they come one by one, the usual first; none: they are never printed so.
        on_sheets: in which they stand on a page, the usual first; none: they are never printed so.
        author, language: of the file, by its first sheet.
    """

    face: Callable[[SheetT, LabelSize, int], Block]
    title: Callable[[Sequence[SheetT]], str]
    sizes: Sequence[LabelSize] = ()
    on_sheets: Sequence[LabelSize] = ()
    author: Callable[[SheetT], str] = _by_us
    language: Callable[[SheetT], str] = _english

    def leaves(self, sheets: Sequence[SheetT], printer: Printer) -> list[Leaf]:
        """The pages: one a label, or sheets with lines to cut along."""
        is_alone = bool(self.sizes) and not printer.on_sheets
        size = self._size(printer.size, self.sizes if is_alone else self.on_sheets)
        faces = [self.face(sheet, size, printer.dpi) for sheet in sheets]
        if not is_alone:
            return label_sheets(faces, size=size, page=printer.page, first=printer.first, grid=printer.grid)
        page = label_page(size)
        return [Leaf(page, face.moved(page.side_mm, page.top_mm)) for face in faces]

    def words(self, sheets: Sequence[SheetT]) -> FileWords:
        """What the file says of itself."""
        return FileWords(title=self.title(sheets), author=self.author(sheets[0]), language=self.language(sheets[0]))

    def _size(self, asked: LabelSize | None, offered: Sequence[LabelSize]) -> LabelSize:
        if not offered:
            raise PaperRefused("print on a page with others the paper", self.name, "a paper that is cut from a page")
        if asked is not None and asked not in offered:
            raise PaperRefused(f"print the {self.name.casefold()} in the size", asked, " or ".join(offered))
        return asked or offered[0]
