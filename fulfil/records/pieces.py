"""The two books of pieces: what is owed to each order line, and what is there; both are changed by moves only.

A *move* takes pieces from one place to another; a *balance* is what is left in a place: all that came in less all that
went out, never below zero. In the book of what is owed, the balances of an order line add up to what was ordered. Of a
kit, the book knows the parts that it is made of.

>>> order_state({Owed.PASSED: 40, Owed.SHORT: 10}, is_held=False).value
'checked'
>>> order_state({Owed.PASSED: 40, Owed.WAITING: 10}, is_held=False).value
'picked'
>>> order_state({Owed.SHIPPED: 40, Owed.CANCELLED: 10}, is_held=True).value
'shipped'

The idea is that of double entry: each move is written once, with both of its sides, and is never changed.
"""

from collections.abc import Mapping
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.order import OrderState
from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class Owed(StrEnum):
    """Where a piece of an order line can be; beside some stands what the place's reference names.

    *Ordered* is the outside: pieces come from there, and go back when a line goes over to another order.
    """

    ORDERED = "ordered"
    WAITING = "waiting"
    PROMISED = "promised"  # bin
    SHORT = "short"
    HELD = "held"
    BAGGED = "in a bag"  # bag
    PASSED = "passed"  # bag
    BOXED = "in a package"  # package
    SEALED = "sealed"  # package
    SHIPPED = "shipped"  # package
    CANCELLED = "cancelled"


ENDED_PLACES = frozenset({Owed.SHIPPED, Owed.CANCELLED})
"""Where a piece is owed no more."""
UNPLANNED = frozenset({Owed.WAITING, Owed.PROMISED, Owed.SHORT, Owed.HELD})
"""Where a piece is on no paper: planning may decide anew."""


class There(StrEnum):
    """Where a piece of stock can be; supplier, make-room and count are the outside."""

    SUPPLIER = "supplier"
    MAKE_ROOM = "make-room"
    FOUND = "count"
    BIN = "bin"  # bin
    BAG = "bag"  # bag
    PACKAGE = "package"  # package
    HANDED_OVER = "handed over"  # package
    SCRAPPED = "scrapped"


OUTSIDE = frozenset({There.SUPPLIER, There.MAKE_ROOM, There.FOUND})
"""Places without a balance: how much could come from there nobody counts."""


class OwedMove(Record):
    """Pieces of an order line that go from one place to another, and why."""

    order_number: Code
    line_no: int = Field(ge=1)
    part_number: Code
    pieces: int = Field(ge=1)
    from_place: Owed
    from_ref: Line = ""
    to_place: Owed
    to_ref: Line = ""
    reason: Line


class OwedEntry(OwedMove):
    """A move as it stands in the book: with its running number, when and by whom."""

    id: int
    at: AwareDatetime
    person: Code


class OwedBalance(Record):
    """Pieces of an order line that are in a place now."""

    order_number: Code
    line_no: int
    part_number: Code
    place: Owed
    ref: Line = ""
    pieces: int = Field(ge=1)


class StockMove(Record):
    """Pieces of a part that go from one place to another; ``source`` names what moved them: a bag, a job, a paper."""

    part_number: Code
    pieces: int = Field(ge=1)
    from_place: There
    from_ref: Line = ""
    to_place: There
    to_ref: Line = ""
    reason: Code
    source: Line = ""


class StockEntry(StockMove):
    """A stock move as it stands in the book: with its running number, when and by whom."""

    id: int
    at: AwareDatetime
    person: Code

    @property
    def bin_change(self) -> int:
        """By how much it changed what lies in bins: less when pieces left one, nothing when they went to another."""
        return (self.to_place is There.BIN) * self.pieces - (self.from_place is There.BIN) * self.pieces

    def change_of(self, bin_code: str) -> int:
        """By how much it changed the level of one bin."""
        into = self.to_place is There.BIN and self.to_ref == bin_code
        out = self.from_place is There.BIN and self.from_ref == bin_code
        return (into - out) * self.pieces

    @property
    def bin_code(self) -> str:
        """The bin that it changed, of two the one that was filled; empty where none is."""
        return self.to_ref if self.to_place is There.BIN else self.from_ref if self.from_place is There.BIN else ""


class StockBalance(Record):
    """Pieces of a part that are in a place now; of bins the level stands with the bin."""

    place: There
    ref: Line = ""
    part_number: Code
    pieces: int = Field(ge=1)


def order_state(places: Mapping[Owed, int], *, is_held: bool) -> OrderState:
    """Where an order stands, by where its pieces are; ``is_held`` says that a reason holds it.

    What is short hinders nobody at the bench; what waits or is promised but not yet on a walk does.
    """
    at = {place for place, pieces in places.items() if pieces}
    open_at = at - ENDED_PLACES
    if not open_at:
        return OrderState.SHIPPED if Owed.SHIPPED in at else OrderState.CANCELLED
    if is_held:
        return OrderState.HELD
    at_bench = open_at - UNPLANNED
    if at_bench:
        if at_bench == {Owed.BAGGED}:
            return OrderState.RELEASED
        if Owed.BAGGED in at_bench or open_at & {Owed.WAITING, Owed.PROMISED, Owed.HELD}:
            return OrderState.PICKED
        return OrderState.PACKED if at_bench == {Owed.SEALED} else OrderState.CHECKED
    if Owed.PROMISED in open_at:
        return OrderState.ALLOCATED
    return OrderState.SHIPPED if Owed.SHIPPED in at else OrderState.RECEIVED


def bin_move(
    *, part_number: str, bin_code: str, pieces: int, reason: str, source: str, other: There = There.FOUND, ref: str = ""
) -> StockMove:
    """A move into a bin (``pieces`` above zero) or out of it (below), from or to another place.

    >>> bin_move(part_number="BALL-3", bin_code="01L-01", pieces=-5, reason="counted", source="by hand").to_place.value
    'count'
    """
    here, there = (There.BIN, bin_code), (other, ref)
    (from_place, from_ref), (to_place, to_ref) = (there, here) if pieces > 0 else (here, there)
    return StockMove(
        part_number=part_number,
        pieces=abs(pieces),
        from_place=from_place,
        from_ref=from_ref,
        to_place=to_place,
        to_ref=to_ref,
        reason=reason,
        source=source[:200],
    )
