"""Single moves as the verbs of :mod:`fulfil.orders.moving` and :mod:`fulfil.orders.moving_packages` compose them.

>>> move = owed_move(("A-1", 1, "BALL-3"), 40, (Owed.WAITING, ""), (Owed.SHORT, ""), "planned")
>>> f"{move.pieces} from {move.from_place} to {move.to_place}"
'40 from waiting to short'
"""

from fulfil.records.pieces import Owed, OwedBalance, OwedMove, StockBalance, StockMove, There, bin_move
from fulfil.records.plan import Bag
from fulfil.store.books import Books

PartOfLine = tuple[str, int, str]
"""Order, line, part: of a kit's line each of its parts."""
At = tuple[Owed, str]
"""A place with its reference."""


def all_of(books: Books, place: Owed, ref: str, to: At, reason: str) -> list[OwedMove]:
    """All that is owed in one place goes to another."""
    found = books.find(OwedBalance, place=place, ref=ref)
    return [owed_move(line_of(one), one.pieces, (place, ref), to, reason) for one in found]


def stock_of(books: Books, place: There, ref: str, to: tuple[There, str], reason: str) -> list[StockMove]:
    """All that lies in one place goes to another."""
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
    """A bag's pieces come into its bin (above zero) or leave it (below)."""
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
    """Pieces of a line's part go from one place to another."""
    return OwedMove(
        order_number=key[0],
        line_no=key[1],
        part_number=key[2],
        pieces=pieces,
        from_place=from_[0],
        from_ref=from_[1],
        to_place=to[0],
        to_ref=to[1],
        reason=reason[:200],
    )


def line_of(one: OwedBalance) -> PartOfLine:
    """Whose balance it is."""
    return (one.order_number, one.line_no, one.part_number)


def line_of_bag(bag: Bag) -> PartOfLine:
    """Whose pieces a bag holds."""
    return (bag.order_number, bag.line_no, bag.part_number)
