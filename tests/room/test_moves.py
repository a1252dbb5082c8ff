"""Which few bins should change places."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.room.block import Block
from fulfil.room.moves import Move, suggest_moves

ROOM = Block((0, 2500, 5000), 10000)


def total_mm(walks: list[list[str]], homes: dict[str, tuple[int, int]]) -> int:
    """All walks' lengths in sum, from scratch."""
    return sum(ROOM.walk_length_mm([homes[part] for part in walk]) for walk in walks)


def carried_out(homes: dict[str, tuple[int, int]], moves: tuple[Move, ...]) -> dict[str, tuple[int, int]]:
    """Where the parts live after the moves, one after the other."""
    homes = dict(homes)
    for move in moves:
        assert homes[move.part] == move.from_
        if move.other_part is not None:
            assert homes[move.other_part] == move.to
            homes[move.other_part] = move.from_
        else:
            assert move.to not in homes.values()
        homes[move.part] = move.to
    return homes


@st.composite
def shops(draw: st.DrawFn) -> tuple[list[list[str]], dict[str, tuple[int, int]], list[tuple[int, int]]]:
    """A few parts in their bins, some free places, some walks."""
    place = st.tuples(st.integers(0, 2), st.integers(1, 99).map(lambda y: 100 * y))
    places = draw(st.lists(place, min_size=4, max_size=9, unique=True))
    occupied = draw(st.integers(2, len(places)))
    homes = {f"P{k}": places[k] for k in range(occupied)}
    walk = st.lists(st.sampled_from(sorted(homes)), min_size=1, max_size=4)
    return draw(st.lists(walk, max_size=6)), homes, places[occupied:]


@given(shops(), st.integers(0, 4))
@settings(deadline=None, max_examples=60)
def test_every_metre_promised_is_saved(
    shop: tuple[list[list[str]], dict[str, tuple[int, int]], list[tuple[int, int]]], most: int
) -> None:
    """Walks measured from scratch after the moves are shorter by exactly what the moves promised."""
    walks, homes, free = shop
    moves = suggest_moves(walks, homes, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=most, free=free)

    assert len(moves) <= most
    assert all(move.saved_mm > 0 for move in moves)
    assert total_mm(walks, homes) - total_mm(walks, carried_out(homes, moves)) == sum(move.saved_mm for move in moves)


@given(shops())
@settings(deadline=None, max_examples=40)
def test_first_move_is_the_best_single_one(
    shop: tuple[list[list[str]], dict[str, tuple[int, int]], list[tuple[int, int]]],
) -> None:
    """In a small shop every move and exchange is measured: none saves more than the first one suggested."""
    walks, homes, free = shop
    moves = suggest_moves(walks, homes, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=1, free=free)
    best = 0
    for part in homes:
        for other, to in [*((other, homes[other]) for other in homes), *((None, stop) for stop in free)]:
            trial = {**homes, part: to}
            if other:
                trial[other] = homes[part]
            best = max(best, total_mm(walks, homes) - total_mm(walks, trial))

    assert sum(move.saved_mm for move in moves) == best


def test_exchange_by_hand() -> None:
    """A part fetched twice from the far corner and one fetched once next to the bench change places.

    Before: 24, 24 and 1 m (5 + 19 out and back; 1 out and back); after: 1, 1 and 24 m.
    """
    homes = {"far": (1, 9500), "near": (0, 500)}
    moves = suggest_moves([["far"], ["far"], ["near"]], homes, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=5)

    assert moves == (Move("far", (1, 9500), (0, 500), "near", 24000 - 1000, 2, 2 * 2 * (2500 + 10000)),)


def test_free_place_takes_one_bin() -> None:
    """A free place needs one bin moved, not two."""
    moves = suggest_moves(
        [["far"]], {"far": (0, 9500)}, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=1, free=[(0, 500)]
    )

    assert [(move.bins_handled, move.other_part, move.to, move.saved_mm) for move in moves] == [
        (1, None, (0, 500), 18000)
    ]


@pytest.mark.parametrize("most", [0, 1])
def test_never_more_than_asked_for(most: int) -> None:
    """Asked for none, none is suggested; asked for one, one."""
    homes = {"a": (0, 9000), "b": (1, 9000), "c": (0, 100), "d": (1, 100)}
    walks = [["a"], ["a"], ["b"], ["b"]]

    assert len(suggest_moves(walks, homes, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=most)) == most


def test_moves_the_shop_forbids_are_not_made() -> None:
    """Where the shop says a part can't live, it isn't sent, in exchanges neither."""
    homes = {"far": (1, 9500), "near": (0, 500)}
    moves = suggest_moves(
        [["far"], ["far"]],
        homes,
        ROOM.walk_length_mm,
        ROOM.distance_mm,
        most_moves=1,
        may_move=lambda part, stop: part != "near",
    )

    assert moves == ()
