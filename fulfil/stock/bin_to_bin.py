"""Pieces of a part that are carried from one of its bins to another: one move in the ledger, both bins at once.

A bin holds one lot by the books, so pieces of another lot go only into an empty bin, which then holds theirs. What is
promised from a bin stays promised from it; who then waits for more than it holds is named. The pieces keep the day on
which they came in (:mod:`fulfil.orders.came_in`).
"""

from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.finding import Finding
from fulfil.records.happening import Happening
from fulfil.records.pieces import StockMove, There
from fulfil.records.place import Bin
from fulfil.records.text import cut
from fulfil.stock.levels import over_promised
from fulfil.store.shop import Shop


@dataclass(frozen=True)
class Carried:
    """Both bins as they are now; ``findings`` name orders that were promised more than the first one still holds."""

    from_bin: Bin
    to_bin: Bin
    pieces: int
    findings: tuple[Finding, ...] = ()


def carry(shop: Shop, from_code: str, to_code: str, pieces: int, reason: str, *, at: datetime, person: str) -> Carried:
    """Books pieces from a bin to another one of the same part.

    Raises:
        UnknownRefused: there is no such bin.
        StateRefused: it is the same bin, one of another part or lot, or holds fewer pieces; or nobody says why.
    """
    if pieces < 1 or not reason.strip():
        raise StateRefused(f"move from the bin {from_code}", f"{pieces} pieces", "one piece or more, and a reason")
    with shop.writing() as books:
        from_bin, to_bin = books.need(Bin, from_code), books.need(Bin, to_code)
        _must_take(from_bin, to_bin)
        move = StockMove(
            part_number=from_bin.part_number,
            pieces=pieces,
            from_place=There.BIN,
            from_ref=from_code,
            to_place=There.BIN,
            to_ref=to_code,
            reason="moved",
            source=cut(reason.strip()),
        )
        books.move(stock=[move], at=at, person=person)
        if to_bin.lot != from_bin.lot:
            books.change([to_bin], {"lot": from_bin.lot})
        particulars = {"to": to_code, "pieces": pieces, "why": cut(reason.strip())}
        books.journal(at=at, person=person, event=Happening.STOCK_MOVED, subject=from_code, particulars=particulars)
        left, filled = books.need(Bin, from_code), books.need(Bin, to_code)
        return Carried(left, filled, pieces, over_promised(books, from_code, left.pieces))


def takes_lot(to_bin: Bin, lot: str) -> bool:
    """Whether pieces of a lot may be poured into a bin."""
    return not to_bin.pieces or to_bin.lot == lot


def _must_take(from_bin: Bin, to_bin: Bin) -> None:
    if from_bin.code == to_bin.code:
        raise StateRefused("move from the bin to itself", from_bin.code, "another bin of its part")
    if from_bin.part_number != to_bin.part_number:
        expected = f"a bin of {from_bin.part_number}, got one of {to_bin.part_number}"
        raise StateRefused(f"move {from_bin.part_number} to the bin", to_bin.code, expected)
    if not takes_lot(to_bin, from_bin.lot):
        expected = f"an empty bin, or one of that lot; it holds {to_bin.pieces} pieces of lot {to_bin.lot or 'unknown'}"
        raise StateRefused(f"pour lot {from_bin.lot or 'unknown'} into the bin", to_bin.code, expected)
