"""The pick list on half a page (A5, half a Letter page): for a small clipboard, or a pocket.

The same words in the same type sizes as the usual list; a stop's bags stand below its bin instead of beside it.

>>> from fulfil.papers.document import Half
>>> PAPER.half is Half.ALWAYS
True
"""

from dataclasses import dataclass

from fulfil.papers.document import Document, Half
from fulfil.papers.elements.day_words import cut_off_words
from fulfil.papers.sheet import recast
from fulfil.papers.walk.pick_list import pick_blocks, walk_facts
from fulfil.papers.walk.pick_list_sheet import PickListSheet
from fulfil.papers.walk.pick_list_way import amounts


@dataclass(frozen=True, kw_only=True)
class HalfPickListSheet(PickListSheet):
    """The same words, to be printed on half pages."""


PAPER = Document(
    sheet=HalfPickListSheet,
    name="Pick list",
    file="pick-list",
    about=lambda sheets: sheets[0].walk_number,
    facts=lambda sheet: (*walk_facts(sheet), *amounts(sheet)),
    strong=lambda sheet: cut_off_words(sheet.cut_off, sheet.cut_off_service),
    blocks=lambda sheet, space: pick_blocks(sheet, space),
    half=Half.ALWAYS,
)


def on_half(sheet: PickListSheet) -> HalfPickListSheet:
    """A pick list for half pages."""
    return recast(sheet, HalfPickListSheet)
