"""A sample: the sheets of one file, named and printed as the demo's own.

>>> from .stock import short_list
>>> Sample(lambda: [short_list()]).pdf(page=Paper.A4)[:5]
b'%PDF-'
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from fulfil.papers.door import leaves, pdf
from fulfil.papers.page import LabelSize
from fulfil.papers.render import Leaf
from fulfil.papers.sheet import Sheet
from fulfil.records.settings import Paper


@dataclass(frozen=True)
class Sample:
    """The sheets of one file, and how they are printed where that isn't as usual."""

    sheets: Callable[[], Sequence[Sheet]]
    size: LabelSize | None = None
    on_sheets: bool = False

    def leaves(self, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
        """The pages as marks."""
        sheets = self.sheets()
        return leaves(sheets, page=page, printer_dpi=printer_dpi, size=self.size, on_sheets=self.on_sheets)

    def pdf(self, *, page: Paper, printer_dpi: int = 300) -> bytes:
        """The file."""
        sheets = self.sheets()
        return pdf(sheets, page=page, printer_dpi=printer_dpi, size=self.size, on_sheets=self.on_sheets)
