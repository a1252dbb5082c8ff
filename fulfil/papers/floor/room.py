"""The room on one page: empty, with one walk, or with how often its bins were visited; as PDF, PNG or SVG.

>>> from datetime import date
>>> from fulfil.papers.door import pdf
>>> from fulfil.records.settings import Paper
>>> from fulfil.papers.floor.route_map import RouteMapSheet
>>> sheet = RoomSheet(document_number="ROOM", shop_name="Invented shop", day=date(2026, 3, 2), title="Room",
...     facts=("6 aisles",), route_map=RouteMapSheet(bench_mm=(0, 0), stops=(), path_mm=((0, 0),)))
>>> pdf([sheet], page=Paper.A4)[:5]
b'%PDF-'
>>> png(sheet)[1:4]
b'PNG'
>>> svg(sheet)[:4]
'<svg'
>>> sheet.says
()
"""

from dataclasses import dataclass

from fulfil.papers import picture, vector
from fulfil.papers.document import Document, Space
from fulfil.papers.elements.day_words import day_words
from fulfil.papers.faces import Face
from fulfil.papers.floor.drawing import route_map
from fulfil.papers.floor.map_words import map_words
from fulfil.papers.floor.route_map import RouteMapSheet
from fulfil.papers.ink import Block, above, gap
from fulfil.papers.page import BODY_PT, PLACE_PT
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.wrap import paragraph


@dataclass(frozen=True, kw_only=True)
class RoomSheet(DocumentSheet):
    """One page: what it shows (``title``), its figures, the map, and sentences below it."""

    title: str
    facts: tuple[str, ...]
    route_map: RouteMapSheet
    says: tuple[str, ...] = ()


PAPER = Document(
    sheet=RoomSheet,
    name="Drawing of the room",
    file="room",
    about=lambda sheets: sheets[0].document_number,
    facts=lambda sheet: (*sheet.facts, day_words(sheet.day)),
    blocks=lambda sheet, space: _blocks(sheet, space),
    title=lambda sheet: sheet.title,
    head=lambda sheet: _head(sheet),
    also_says=lambda sheet: map_words(sheet.route_map),
)

PICTURE_DPI = 150
_PICTURE_MM = 180.0
_PICTURE_HIGH_MM = 180.0


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


def svg(sheet: RoomSheet) -> str:
    """The map alone, to scale, as an SVG file."""
    return vector.svg(route_map(sheet.route_map, _PICTURE_MM), _PICTURE_MM, title=sheet.title)


def _head(sheet: RoomSheet) -> str:
    """The title without the number, which stands beside it."""
    return sheet.title.removesuffix(sheet.document_number).strip() or sheet.title


def _blocks(sheet: RoomSheet, space: Space) -> list[Block]:
    """The map, as large as the sentences below it leave it room; what doesn't fit goes on to another page."""
    width, room = space.width_mm, space.room_mm
    says = [above(paragraph(words, Face.TEXT, BODY_PT, width), gap(1.0)) for words in sheet.says]
    below = min(sum(each.height_mm for each in says), room / 3)
    return [above(route_map(sheet.route_map, width, room - below - 3.0), gap(2.0)), *says]
