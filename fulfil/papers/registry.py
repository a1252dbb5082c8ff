"""Every paper by its sheet: found in the papers' own modules, none built for it, nothing kept up beside them.

>>> from fulfil.papers.stock.short_list import ShortListSheet
>>> paper_of(ShortListSheet).name
'Short list'
>>> paper_of(Sheet)
Traceback (most recent call last):
    ...
fulfil.errors.PaperRefused: Cannot print a sheet of the kind 'Sheet': expected one of the papers' sheets.
"""

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from types import MappingProxyType
from typing import Any

from fulfil.errors import PaperRefused
from fulfil.papers.kind import PaperKind
from fulfil.papers.sheet import Sheet

GROUPS = ("bench", "day", "despatch", "floor", "orders", "stock", "walk")
"""The folders with papers."""


@cache
def papers() -> Mapping[type[Sheet], PaperKind[Any]]:
    """Every ``PAPER`` of the groups' modules, by its sheet's class, sorted by group and module."""
    found: dict[type[Sheet], PaperKind[Any]] = {}
    for group in GROUPS:
        folder = import_module(f"fulfil.papers.{group}")
        for module in sorted(one.name for one in iter_modules(folder.__path__)):
            paper = getattr(import_module(f"{folder.__name__}.{module}"), "PAPER", None)
            if isinstance(paper, PaperKind):
                found[paper.sheet] = paper
    return MappingProxyType(found)


def paper_of(sheet: type[Sheet]) -> PaperKind[Any]:
    """The paper of a sheet's class; the others aren't loaded where it stands beside its sheet, as most do.

    Raises:
        PaperRefused: it is no paper's.
    """
    beside = getattr(import_module(sheet.__module__), "PAPER", None)
    if isinstance(beside, PaperKind) and beside.sheet is sheet:
        return beside
    if sheet not in papers():
        raise PaperRefused("print a sheet of the kind", sheet.__name__, "one of the papers' sheets")
    return papers()[sheet]
