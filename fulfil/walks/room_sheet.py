"""A floor as the sheet that papers draw: racks and aisles, or passages; bench and end; stops, a walk, visits.

>>> from fulfil.records.place import ElementKind, RoomElement
>>> from fulfil.walks.floor import floor_of
>>> bench, hall = RoomElement(kind=ElementKind.BENCH, name="bench"), ElementKind.PASSAGE
>>> door = RoomElement(kind=ElementKind.CORNER, name="door", x_mm=4000)
>>> floor = floor_of([bench, door, RoomElement(kind=hall, name="hall", from_name="bench", to_name="door")])
>>> [(passage.name, passage.to_mm) for passage in room_sheet(floor).passages]
[('hall', (4000, 0))]
"""

from collections.abc import Sequence

from fulfil.papers.floor.route_map import MapAisle, MapPassage, MapRack, MapStop, MapVisits, RouteMapSheet
from fulfil.records.place import Bin
from fulfil.room.block import Block
from fulfil.room.blocks import Blocks
from fulfil.room.racks import racks
from fulfil.room.walk import Point
from fulfil.walks.floor import Floor, Way

AISLE_WIDTH_MM = 1000


def room_sheet(
    floor: Floor,
    *,
    stops: Sequence[MapStop] = (),
    path_mm: Sequence[Point] = (),
    visits: Sequence[MapVisits] = (),
) -> RouteMapSheet:
    """The room, with whatever happens in it; without a path only the room."""
    room = floor.room
    path = tuple(path_mm) or (room.bench_mm,)
    if isinstance(room, Block):
        return RouteMapSheet.of_aisles(
            aisles=tuple(zip(floor.aisle_names, room.aisle_x_mm, strict=True)),
            cross_aisle_y_mm=(0, room.length_mm),
            bench_mm=room.bench_mm,
            stops=stops,
            path_mm=path,
            visits=visits,
        )
    end_mm = room.network.points[room.network.end]
    ways = floor.ways.values()
    if not isinstance(room, Blocks):
        return RouteMapSheet(
            passages=tuple(
                MapPassage(name=way.name, from_mm=way.from_mm, to_mm=way.to_mm, is_one_way=way.is_one_way)
                for way in ways
            ),
            bench_mm=room.bench_mm,
            end_mm=end_mm,
            stops=tuple(stops),
            path_mm=path,
            visits=tuple(visits),
        )
    return RouteMapSheet(
        racks=tuple(
            MapRack(
                x_mm=rack.low_mm[0],
                y_mm=rack.low_mm[1],
                width_mm=rack.high_mm[0] - rack.low_mm[0],
                depth_mm=rack.high_mm[1] - rack.low_mm[1],
            )
            for rack in racks(room, AISLE_WIDTH_MM)
        ),
        aisles=tuple(
            MapAisle(name=way.name, x_mm=way.from_mm[0], front_mm=way.from_mm[1], back_mm=way.to_mm[1]) for way in ways
        ),
        cross_aisle_y_mm=room.cross_y_mm,
        passages=tuple(_one_way(floor.ways[aisle], direction) for aisle, direction in room.one_way),
        bench_mm=room.bench_mm,
        end_mm=end_mm,
        stops=tuple(stops),
        path_mm=path,
        visits=tuple(visits),
    )


def _one_way(way: Way, direction: int) -> MapPassage:
    low, high = way.from_mm, way.to_mm
    return MapPassage(
        name="", from_mm=low if direction > 0 else high, to_mm=high if direction > 0 else low, is_one_way=True
    )


def map_stop(floor: Floor, place: Bin, number: int) -> MapStop:
    """A bin as a numbered stop of the map."""
    stop = floor.stop_of(place)
    x_mm, y_mm = floor.room.point_mm(stop)
    way = floor.ways[stop[0]]
    ahead = (way.to_mm[0] - way.from_mm[0], way.to_mm[1] - way.from_mm[1])
    return MapStop(
        number=number, x_mm=x_mm, y_mm=y_mm, side=place.side, label=place.code, way=place.aisle, ahead_mm=ahead
    )
