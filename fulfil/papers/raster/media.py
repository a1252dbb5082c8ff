"""What lies in a printer, as it is written down: a page, a label on a roll, a sheet of labels.

>>> media("60x40").size, media("A4").page
(<LabelSize.BAG_60_40: '60x40'>, <Paper.A4: 'A4'>)
>>> media("60x40 on A4: 3 x 6 at 10,12 step 65,45").grid
LabelGrid(columns=3, rows=6, left_mm=10.0, top_mm=12.0, across_mm=65.0, down_mm=45.0)
>>> media("a roll")  # doctest: +ELLIPSIS
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print on 'a roll': expected A4, Letter, a label as 60x40, 50x25, 105x148, ...
"""

import re
from dataclasses import dataclass

from fulfil.errors import PaperRefused
from fulfil.papers.label_sheet import LabelGrid
from fulfil.papers.page import LabelSize, label_page, size_of
from fulfil.records.settings import Paper

_NUMBER = r"(\d+(?:\.\d+)?)"
_SHEET = re.compile(
    rf"(\S+) on (\S+): (\d+) ?x ?(\d+) at {_NUMBER},{_NUMBER}(?: step {_NUMBER},{_NUMBER})?", re.IGNORECASE
)


@dataclass(frozen=True)
class Media:
    """A page for documents, or a size of labels, alone or on sheets of a page."""

    page: Paper | None = None
    size: LabelSize | None = None
    grid: LabelGrid | None = None


def media(text: str) -> Media:
    """What the text says.

    Raises:
        PaperRefused: it says nothing that papers are made for, or labels that don't fit on their sheet.
    """
    pages = {page.value.casefold(): page for page in Paper}
    sizes = {size.value: size for size in LabelSize}
    if text.casefold() in pages:
        return Media(page=pages[text.casefold()])
    if text.casefold() in sizes:
        return Media(size=sizes[text.casefold()])
    found = _SHEET.fullmatch(text.strip())
    if found is None or found[1].casefold() not in sizes or found[2].casefold() not in pages:
        listed = ", ".join((*pages_said(), f"a label as {', '.join(sizes)}"))
        raise PaperRefused("print on", text, f"{listed}, or a sheet as '60x40 on A4: 3 x 6 at 10,12 step 65,45'")
    size, page = sizes[found[1].casefold()], pages[found[2].casefold()]
    columns, rows = int(found[3]), int(found[4])
    left, top, across, down = (float(each or 0) for each in found.groups()[4:])
    label, sheet = label_page(size), size_of(page)
    right = left + (columns - 1) * (across or label.width_mm) + label.width_mm
    bottom = top + (rows - 1) * (down or label.height_mm) + label.height_mm
    if not columns or not rows or right > sheet.width_mm or bottom > sheet.height_mm:
        expected = f"labels inside {sheet.width_mm:g} x {sheet.height_mm:g} mm, not up to {right:g} x {bottom:g} mm"
        raise PaperRefused("print on", text, expected)
    return Media(page=page, size=size, grid=LabelGrid(columns, rows, left, top, across, down))


def pages_said() -> tuple[str, ...]:
    """The pages by their names."""
    return tuple(page.value for page in Paper)
