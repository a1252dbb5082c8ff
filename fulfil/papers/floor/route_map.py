"""The route map: the room from above, the walked line, the numbered stops.

Millimetres on the floor, as in :mod:`fulfil.room`: x grows to the right, y from the front to the back (up the page).
A room of parallel aisles is drawn from :meth:`RouteMapSheet.of_aisles`, which puts the racks between the aisles:

>>> room_map = RouteMapSheet.of_aisles(
...     aisles=(("1", 1500), ("2", 4000)), cross_aisle_y_mm=(0, 20000), bench_mm=(1500, 0),
...     stops=(), path_mm=((1500, 0),))
>>> [(rack.x_mm, rack.width_mm) for rack in room_map.racks]
[(550, 450), (2000, 1500), (4500, 450)]

Limits: an odd room has no racks in its records; it is drawn by its passages alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from fulfil.records.place import Side


@dataclass(frozen=True, kw_only=True)
class MapAisle:
    """An aisle to walk in: its name, the x of its middle line, from where to where it runs."""

    name: str
    x_mm: int
    front_mm: int
    back_mm: int


@dataclass(frozen=True, kw_only=True)
class MapRack:
    """A rack's outline on the floor; (x, y) is its corner at the front left."""

    x_mm: int
    y_mm: int
    width_mm: int
    depth_mm: int


@dataclass(frozen=True, kw_only=True)
class MapPassage:
    """A passage of an odd room, a straight line between two corners; or a one-way aisle, whose name is empty here."""

    name: str
    from_mm: tuple[int, int]
    to_mm: tuple[int, int]
    is_one_way: bool = False


@dataclass(frozen=True, kw_only=True)
class MapStop:
    """A stop: where the picker stands, and on which side the bin is, seen from the front (None: not said).

    ``label`` is the bin's code, for the twin; the map itself prints the number. ``way`` is the aisle or passage,
    ``ahead_mm`` the direction in which places along it are counted: left and right are as seen looking there.
    """

    number: int
    x_mm: int
    y_mm: int
    side: Side | None = None
    label: str = ""
    way: str = ""
    ahead_mm: tuple[int, int] = (0, 1)


@dataclass(frozen=True, kw_only=True)
class MapVisits:
    """How often the bins at one place and side were visited."""

    x_mm: int
    y_mm: int
    times: int
    side: Side | None = None
    ahead_mm: tuple[int, int] = (0, 1)


@dataclass(frozen=True, kw_only=True)
class RouteMapSheet:
    """One walk drawn on the floor plan.

    Attributes:
        racks: outlines, drawn hatched.
        aisles: named at their front end.
        cross_aisle_y_mm: middle lines of the cross aisles, front first.
        passages: of an odd room, instead of racks and aisles; one-way aisles too.
        bench_mm: where the walk starts.
        end_mm: where it ends; None: at the bench.
        stops: in walking order.
        path_mm: corner points of the walked line, bench first.
        visits: drawn as dots whose area grows with the number.
    """

    racks: tuple[MapRack, ...] = ()
    aisles: tuple[MapAisle, ...] = ()
    cross_aisle_y_mm: tuple[int, ...] = ()
    passages: tuple[MapPassage, ...] = ()
    bench_mm: tuple[int, int]
    end_mm: tuple[int, int] | None = None
    stops: tuple[MapStop, ...]
    path_mm: tuple[tuple[int, int], ...]
    visits: tuple[MapVisits, ...] = ()

    @classmethod
    def of_aisles(
        cls,
        *,
        aisles: Sequence[tuple[str, int]],
        cross_aisle_y_mm: Sequence[int],
        bench_mm: tuple[int, int],
        stops: Sequence[MapStop],
        path_mm: Sequence[tuple[int, int]],
        visits: Sequence[MapVisits] = (),
        aisle_width_mm: int = 1000,
    ) -> "RouteMapSheet":
        """A map of parallel aisles (name, x), ascending in x, with racks in between and at both walls.

        Racks leave ``aisle_width_mm`` (at most two fifths of the narrowest gap) free around every aisle, and as
        much around every cross aisle; those at the walls are as deep as half of what stands between two aisles,
        or 450 mm, whichever is less.
        """
        xs = [x for _, x in aisles]
        half = min([aisle_width_mm, *(2 * (x2 - x1) // 5 for x1, x2 in pairwise(xs))]) // 2
        wall = min([450, *((x2 - x1) // 2 - half for x1, x2 in pairwise(xs))])
        edges = [(xs[0] - half - wall, xs[0] - half)] if xs else []
        edges += [(x1 + half, x2 - half) for x1, x2 in pairwise(xs)]
        edges += [(xs[-1] + half, xs[-1] + half + wall)] if xs else []
        ys = sorted(cross_aisle_y_mm)
        return cls(
            racks=tuple(
                MapRack(x_mm=x1, y_mm=y1 + half, width_mm=x2 - x1, depth_mm=y2 - y1 - 2 * half)
                for y1, y2 in pairwise(ys)
                for x1, x2 in edges
                if y2 - y1 > 2 * half
            ),
            aisles=tuple(MapAisle(name=name, x_mm=x, front_mm=ys[0], back_mm=ys[-1]) for name, x in aisles),
            cross_aisle_y_mm=tuple(ys),
            bench_mm=bench_mm,
            stops=tuple(stops),
            path_mm=tuple(path_mm),
            visits=tuple(visits),
        )
