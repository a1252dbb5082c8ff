"""A drawing of the room: empty, with a walk, or with how often its bins were visited.

>>> from datetime import date
>>> sheet = RoomSheet(document_number="ROOM", shop_name="Invented shop", day=date(2026, 3, 2), title="Room",
...     facts=("6 aisles",), route_map=RouteMapSheet(bench_mm=(0, 0), stops=(), path_mm=((0, 0),)))
>>> sheet.says
()
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet
from fulfil.records.sheets.route_map import RouteMapSheet


@dataclass(frozen=True, kw_only=True)
class RoomSheet(DocumentSheet):
    """One page: what it shows (``title``), its figures, the map, and sentences below it."""

    title: str
    facts: tuple[str, ...]
    route_map: RouteMapSheet
    says: tuple[str, ...] = ()
