"""The look-alike index of the shop: every weighed part with what the eye sees of it and where its bin is."""

from math import nan

from fulfil.records.part import Part, UnitWeight
from fulfil.records.place import Bin, RoomElement
from fulfil.store.books import Books
from fulfil.walks.floor import floor_of
from fulfil.weighing.lookalike import LookAlikeIndex

LEVEL_MM = 400
"""Height from one level of bins to the next, for telling which bins a hand may confuse (common practice)."""


def look_alike_index(books: Books) -> LookAlikeIndex:
    """All parts of the catalogue that have a unit weight, by part number; retired ones may still lie in a bin."""
    weights = {weight.part_number: weight for weight in reversed(books.find(UnitWeight))}
    parts = [part for part in books.find(Part) if part.number in weights]
    floor = floor_of(books.find(RoomElement))
    position_mm = {}
    for place in reversed(books.find(Bin)):
        x_mm, y_mm = floor.room.point_mm(floor.stop_of(place))
        position_mm[place.part_number] = (float(x_mm), float(y_mm), float(LEVEL_MM * place.level))
    return LookAlikeIndex(
        [part.number for part in parts],
        mean_g=[weights[part.number].mean_g for part in parts],
        u_g=[weights[part.number].u_g for part in parts],
        piece_sd_g=[weights[part.number].piece_sd_g for part in parts],
        family=[part.family for part in parts],
        size=[part.size for part in parts],
        finish=[part.finish for part in parts],
        position_mm=[position_mm.get(part.number, (nan, nan, nan)) for part in parts],
    )
