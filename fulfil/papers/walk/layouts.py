"""The layouts of a pick list, by name.

>>> sorted(LAYOUTS)
['by-order', 'by-walk', 'large']
>>> layout_named("tiny")
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print the pick list in the layout 'tiny': expected by-walk, by-order or large.
"""

from collections.abc import Sequence
from typing import Protocol

from fulfil.errors import PaperRefused
from fulfil.papers.walk import pick_list, pick_list_by_order, pick_list_large
from fulfil.records.settings import Paper
from fulfil.records.sheets.pick_list import PickListSheet

BY_WALK = "by-walk"
"""All orders of a walk in one list, in the order of the way."""


class Layout(Protocol):
    """Writes pick lists into one file."""

    def __call__(self, sheets: Sequence[PickListSheet], /, *, page: Paper, printer_dpi: int) -> bytes:
        """The file."""
        ...


LAYOUTS: dict[str, Layout] = {
    BY_WALK: pick_list.pdf,
    "by-order": pick_list_by_order.pdf,
    "large": pick_list_large.pdf,
}


def layout_named(name: str) -> Layout:
    """The layout of this name.

    Raises:
        PaperRefused: there is none.
    """
    if name not in LAYOUTS:
        raise PaperRefused("print the pick list in the layout", name, "by-walk, by-order or large")
    return LAYOUTS[name]
