"""The three rooms as rooms that can be walked."""

from fulfil.room.blocks import Blocks
from fulfil.room.graph import Corner, Passage, WalkingGraph

Rows = list[dict[str, str]]


def _of(rows: Rows, element: str) -> Rows:
    return [row for row in rows if row["element"] == element]


def _blocks(room: Rows) -> Blocks:
    (bench,) = _of(room, "bench")
    return Blocks(
        tuple(int(row["x_mm"]) for row in _of(room, "aisle")),
        tuple(int(row["y_mm"]) for row in _of(room, "cross-aisle")),
        bench_mm=(int(bench["x_mm"]), int(bench["y_mm"])),
    )


def test_main_room_is_twelve_aisles_of_thirty_metres(room_rows: dict[str, tuple[Rows, Rows]]) -> None:
    """Aisles 2.4 m apart between y 0 and 30 m; the way there and back to the far corner is 2 (14.4 + 30) m."""
    room = _blocks(room_rows["main"][0])

    assert len(room.aisle_x_mm) == 12
    assert {b - a for a, b in zip(room.aisle_x_mm, room.aisle_x_mm[1:], strict=False)} == {2400}
    assert room.cross_y_mm == (0, 30_000)
    assert room.shortest_walk([(11, 29_999)]).length_mm == 2 * (14_400 + 29_999)


def test_bins_of_the_room_with_a_middle_aisle_can_be_walked(room_rows: dict[str, tuple[Rows, Rows]]) -> None:
    """Three cross aisles, and no bin lies on one of them; a walk through one bin of each aisle exists."""
    elements, bins = room_rows["three-cross-aisles"]
    room = _blocks(elements)
    stops = [(int(row["aisle"]) - 1, int(row["y_mm"])) for row in bins]

    assert room.cross_y_mm == (0, 7_500, 15_000)
    assert not {y_mm for _, y_mm in stops} & set(room.cross_y_mm)
    assert room.shortest_walk(stops[::7]).length_mm > 15_000


def test_bins_of_the_odd_room_can_be_walked(room_rows: dict[str, tuple[Rows, Rows]]) -> None:
    """Nine passages, two of them one way, and every bin can be reached and left again."""
    elements, bins = room_rows["odd"]
    corners = tuple(
        Corner(row["name"], int(row["x_mm"]), int(row["y_mm"]))
        for row in [*_of(elements, "corner"), *_of(elements, "bench")]
    )
    passages = tuple(
        Passage(row["name"], row["from"], row["to"], int(row["length_mm"]), row["one_way"] == "yes")
        for row in _of(elements, "passage")
    )
    room = WalkingGraph(corners=corners, passages=passages, bench="bench")

    assert sum(passage.one_way for passage in passages) == 2
    for row in bins:
        assert room.shortest_walk([(row["aisle"], int(row["y_mm"]))]).length_mm >= 2 * 600
    assert len({row["part"] for row in bins}) == len(bins)
