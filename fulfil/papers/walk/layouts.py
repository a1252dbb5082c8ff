"""The layouts of a pick list, by name: each makes of a walk's sheet the sheets that are printed instead of it.

>>> sorted(LAYOUTS)
['by-order', 'by-walk', 'half', 'large']
>>> layout_named("tiny")
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print the pick list in the layout 'tiny': expected by-walk, by-order, half or large.
"""

from collections.abc import Callable, Sequence

from fulfil.errors import PaperRefused
from fulfil.papers.walk.pick_list_by_order import by_order
from fulfil.papers.walk.pick_list_half import on_half
from fulfil.papers.walk.pick_list_large import large
from fulfil.papers.walk.pick_list_sheet import PickListSheet

BY_WALK = "by-walk"
"""All orders of a walk in one list, in the order of the way."""

Layout = Callable[[PickListSheet], Sequence[PickListSheet]]

LAYOUTS: dict[str, Layout] = {
    BY_WALK: lambda sheet: [sheet],
    "by-order": by_order,
    "half": lambda sheet: [on_half(sheet)],
    "large": lambda sheet: [large(sheet)],
}


def layout_named(name: str) -> Layout:
    """The layout of this name.

    Raises:
        PaperRefused: there is none.
    """
    if name not in LAYOUTS:
        raise PaperRefused("print the pick list in the layout", name, "by-walk, by-order, half or large")
    return LAYOUTS[name]
