"""What is printed again exactly as it was first: the sheets that were kept, with the page and printer of then.

>>> Reprint(sheets=(), paper=Paper.LETTER, printer_dpi=203).paper
<Paper.LETTER: 'Letter'>
"""

from collections.abc import Sequence
from dataclasses import dataclass

from fulfil.papers.sheet import Sheet
from fulfil.records.settings import Paper


@dataclass(frozen=True, kw_only=True)
class Reprint:
    """Sheets of one kind and what they are, or were first, printed on."""

    sheets: Sequence[Sheet]
    paper: Paper
    printer_dpi: int
