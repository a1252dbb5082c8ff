"""The room on one page: empty, with one walk, or with how often its bins were visited; as PDF or as a picture.

>>> from datetime import date
>>> from fulfil.records.sheets.route_map import RouteMapSheet
>>> sheet = RoomSheet(document_number="ROOM", shop_name="Invented shop", day=date(2026, 3, 2), title="Room",
...     facts=("6 aisles",), route_map=RouteMapSheet(bench_mm=(0, 0), stops=(), path_mm=((0, 0),)))
>>> pdf([sheet], page=Paper.A4)[:5]
b'%PDF-'
>>> png(sheet)[1:4]
b'PNG'
"""

from collections.abc import Sequence

from fulfil.papers import picture
from fulfil.papers.document import document_leaves, document_pdf
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.faces import Face
from fulfil.papers.floor.drawing import route_map
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, PLACE_PT
from fulfil.papers.render import Leaf
from fulfil.papers.wrap import paragraph
from fulfil.records.settings import Paper
from fulfil.records.sheets.room import RoomSheet

PICTURE_DPI = 150
_PICTURE_MM = 180.0
_PICTURE_HIGH_MM = 180.0


def pdf(sheets: Sequence[RoomSheet], *, page: Paper, printer_dpi: int = 300) -> bytes:
    """The pages of the sheets in one file.

    Raises:
        PaperRefused: a text that can't be printed whole.
    """
    return document_pdf(sheets, leaves, title=sheets[0].title, page=page, printer_dpi=printer_dpi)


def png(sheet: RoomSheet, *, dpi: int = PICTURE_DPI) -> bytes:
    """The map as a picture, its title above and its sentences below."""
    drawn = above(
        paragraph(sheet.title, Face.BOLD, PLACE_PT, _PICTURE_MM),
        paragraph(" · ".join(sheet.facts), Face.TEXT, BODY_PT, _PICTURE_MM),
        gap(2.0),
        route_map(sheet.route_map, _PICTURE_MM, _PICTURE_HIGH_MM),
        gap(2.0),
        *(paragraph(words, Face.TEXT, BODY_PT, _PICTURE_MM) for words in sheet.says),
    )
    return picture.png(drawn, _PICTURE_MM, dpi=dpi)


def leaves(sheet: RoomSheet, *, page: Paper, printer_dpi: int = 300) -> list[Leaf]:
    """The page of one sheet; what doesn't fit below the map goes on to another."""

    def blocks(width: float, room: float) -> list[Block]:
        says = [above(paragraph(words, Face.TEXT, BODY_PT, width), gap(1.0)) for words in sheet.says]
        below = min(sum(each.height_mm for each in says), room / 3)
        return [above(route_map(sheet.route_map, width, room - below - 3.0), gap(2.0)), *says]

    return document_leaves(
        sheet,
        sheet.title.removesuffix(sheet.document_number).strip() or sheet.title,
        facts=(*sheet.facts, day_words(sheet.day)),
        blocks=blocks,
        page=page,
        printer_dpi=printer_dpi,
    )
