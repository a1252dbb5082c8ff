"""A drawing of the room in words, for its twin: places in metres to the right and from the front.

>>> from fulfil.papers.floor.route_map import MapAisle
>>> map_words(RouteMapSheet(aisles=(MapAisle(name="4", x_mm=8000, front_mm=0, back_mm=20_000),), bench_mm=(1500, 0),
...                         stops=(), path_mm=((1500, 0),)))
['bench: (1.5 m, 0.0 m)', 'aisle 4: (8.0 m, 0.0 m)']
"""

from fulfil.papers.floor.route_map import RouteMapSheet
from fulfil.quantities import print_metres


def map_words(drawn: RouteMapSheet) -> list[str]:
    """One line each: the bench, aisles, passages, stops, and how often places were visited."""
    rows = [f"bench: {_place(*drawn.bench_mm)}"]
    rows += [f"aisle {aisle.name}: {_place(aisle.x_mm, aisle.front_mm)}" for aisle in drawn.aisles]
    ways = [passage for passage in drawn.passages if passage.name]
    rows += [f"passage {way.name}: {_place(*way.from_mm)} to {_place(*way.to_mm)}" for way in ways]
    rows += [
        " ".join(w for w in (f"stop {stop.number}:", stop.label, _place(stop.x_mm, stop.y_mm)) if w)
        for stop in drawn.stops
    ]
    rows += [f"visited {at.times} times: {_place(at.x_mm, at.y_mm)}" for at in drawn.visits]
    return rows


def _place(x_mm: int, y_mm: int) -> str:
    return f"({print_metres(x_mm)}, {print_metres(y_mm)})"
