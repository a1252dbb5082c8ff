"""Moves as they are written, built from what moves: a bag's pieces, all that lies in a place, the change of a spread.

Nothing is written here; :mod:`fulfil.orders.moving` has a verb for each thing that can happen.

>>> from fulfil.records.pieces import Owed
>>> [str(move.to_place) for move in changes_of(("A-1", 1, "BALL-3"), {(Owed.WAITING, ""): 50},
...     {(Owed.PROMISED, "01L-01"): 40, (Owed.SHORT, ""): 10}, "planned")]
['promised', 'short']
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping

from fulfil.records.pieces import Owed, OwedBalance, OwedMove, StockBalance, StockMove, There, bin_move
from fulfil.records.plan import Bag
from fulfil.records.text import cut
from fulfil.store.books import Books

PartOfLine = tuple[str, int, str]
At = tuple[Owed, str]
"""A place with its reference."""


def changes_of(
    key: PartOfLine, before: Mapping[At, int], after: Mapping[At, int], reason: str, reasons: Mapping[At, str] = {}
) -> list[OwedMove]:
    """The fewest moves from one spread of pieces over places to another; places in the order of their names.

    Raises:
        ValueError: the two don't hold as many pieces.
    """
    left = {at: n - after.get(at, 0) for at, n in sorted(before.items()) if n > after.get(at, 0)}
    wanted = {at: n - before.get(at, 0) for at, n in sorted(after.items()) if n > before.get(at, 0)}
    if sum(left.values()) != sum(wanted.values()):
        raise ValueError(f"{key}: {sum(before.values())} pieces can't become {sum(after.values())}")
    moves = []
    for to, needs in wanted.items():
        while needs:
            from_ = next(iter(left))
            pieces = min(needs, left[from_])
            moves.append(owed_move(key, pieces, from_, to, reasons.get(to, reason)))
            needs -= pieces
            left[from_] -= pieces
            if not left[from_]:
                del left[from_]
    return moves


def all_owed(books: Books, place: Owed, ref: str, to: At, reason: str) -> list[OwedMove]:
    """All that is owed in one place goes to another."""
    found = books.find(OwedBalance, place=place, ref=ref)
    return [owed_move(line_of(one), one.pieces, (place, ref), to, reason) for one in found]


def all_there(books: Books, place: There, ref: str, to: tuple[There, str], reason: str) -> list[StockMove]:
    """All that is there in one place goes to another."""
    return [
        StockMove(
            part_number=one.part_number,
            pieces=one.pieces,
            from_place=place,
            from_ref=ref,
            to_place=to[0],
            to_ref=to[1],
            reason=reason,
            source=ref,
        )
        for one in books.find(StockBalance, place=place, ref=ref)
    ]


def carried(bag: Bag, from_: tuple[There, str], to: tuple[There, str], reason: str) -> StockMove:
    """A bag's pieces go from one place to another."""
    return StockMove(
        part_number=bag.part_number,
        pieces=bag.pieces,
        from_place=from_[0],
        from_ref=from_[1],
        to_place=to[0],
        to_ref=to[1],
        reason=reason,
        source=bag.code,
    )


def in_bin(bag: Bag, pieces: int, reason: str, other: There = There.FOUND) -> StockMove:
    """A bag's pieces leave their bin, or come back to it: ``pieces`` is the bin's change."""
    ref = bag.code if other is There.BAG else ""
    return bin_move(
        part_number=bag.part_number,
        bin_code=bag.bin_code,
        pieces=pieces,
        reason=reason,
        source=bag.code,
        other=other,
        ref=ref,
    )


def owed_move(key: PartOfLine, pieces: int, from_: At, to: At, reason: str) -> OwedMove:
    """Pieces of a part of a line go from one place to another."""
    return OwedMove(
        order_number=key[0],
        line_no=key[1],
        part_number=key[2],
        pieces=pieces,
        from_place=from_[0],
        from_ref=from_[1],
        to_place=to[0],
        to_ref=to[1],
        reason=cut(reason),
    )


def line_of(one: OwedBalance) -> PartOfLine:
    """The part of a line that a balance is about."""
    return (one.order_number, one.line_no, one.part_number)


def line_of_bag(bag: Bag) -> PartOfLine:
    """The part of a line that a bag is of."""
    return (bag.order_number, bag.line_no, bag.part_number)


def spread(balances: Iterable[OwedBalance]) -> dict[PartOfLine, dict[At, int]]:
    """Pieces by line and part, over places."""
    found: dict[PartOfLine, dict[At, int]] = defaultdict(dict)
    for one in balances:
        found[line_of(one)][one.place, one.ref] = one.pieces
    return found
