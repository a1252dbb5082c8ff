"""The plan of a day: what is promised from which bin, which bags, on which walk and cart position."""

from datetime import date
from decimal import Decimal
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class Allocation(Record):
    """Pieces of a bin that are promised to an order line."""

    order_number: Code
    line_no: int
    bin_code: Code
    pieces: int = Field(ge=1)


class WalkRecord(Record):
    """One tour of one picker with one cart; ``number`` is the number of its pick list.

    A walk that is not released yet (``released_at`` None) may be planned again; a released one is on paper. ``wave`` is
    that of the plan it belongs to.
    """

    number: Code
    day: date
    length_mm: int = Field(ge=0)
    orders: int = Field(ge=1)
    stops: int = Field(ge=1)
    released_at: AwareDatetime | None = None
    wave: int = Field(default=1, ge=1)


class PlanRecord(Record):
    """How good the day's plan is: its length, that of one walk per order, and the proven bound if there is one."""

    day: date
    wave: int = Field(default=1, ge=1)
    length_mm: int = Field(ge=0)
    one_by_one_mm: int = Field(ge=0)
    bound_mm: int | None = None
    bound_is_closed: bool = False
    seed: int = 0


class CountMethod(StrEnum):
    """How the pieces of a bag are counted: on the scale as it is, in the tared bag at once or in pours, or by hand."""

    WEIGH = "weigh"
    TARE = "tare and weigh"
    POUR = "tare and pour"
    HAND = "count by hand"

    @property
    def is_weighed(self) -> bool:
        """Whether a scale proves the count."""
        return self is not CountMethod.HAND

    @property
    def is_net(self) -> bool:
        """Whether the limits are for what a tared scale shows."""
        return self in (CountMethod.TARE, CountMethod.POUR)


class BagState(StrEnum):
    """Where a bag stands. *recount* goes back to the bin, *look* to the checker's eyes, *stop* to the shop's."""

    PLANNED = "planned"
    PASSED = "passed"
    RECOUNT = "recount"
    LOOK = "look"
    STOP = "stop"
    PACKED = "packed"


class Bag(Record):
    """One part, one count, one label; a line has one bag or more.

    Weights are gross, with the empty bag; ``lower_g`` and ``upper_g`` are the window on the scale's own digits, None
    where the count can't be weighed. Where the method is net they are what the tared scale shows, of one pour of
    ``pour_pieces``. The three risks are probabilities of the whole bag for exactly that window. ``gross_g`` is the
    weight, with its bag, with which the bag passed, with its standard uncertainty; ``boxed_at`` is when it was put
    into its box.
    """

    code: Code
    order_number: Code
    line_no: int
    part_number: Code
    bin_code: Code
    lot: Line = ""
    pieces: int = Field(ge=1)
    bag_type: Code
    walk_number: Code
    cart_position: int = Field(ge=1)
    stop_no: int = Field(ge=1)
    method: CountMethod
    pours: int = Field(default=1, ge=1)
    scale_code: Line = ""
    tare_g: Decimal
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    p_reject: float | None = None
    p_pass_one_short: float | None = None
    p_pass_one_over: float | None = None
    reason: Line = ""
    state: BagState = BagState.PLANNED
    checks: int = Field(default=0, ge=0)
    package_number: Line = ""
    gross_g: Decimal | None = None
    gross_u_g: float | None = Field(default=None, ge=0)
    boxed_at: AwareDatetime | None = None

    @property
    def pour_pieces(self) -> int:
        """Pieces of one pour; all of them where the bag is weighed at once."""
        return self.pieces // self.pours

    @property
    def load_g(self) -> float:
        """What the scale shall show for it, in g; 0 for one that is counted by hand."""
        return float(self.target_g or 0)

    @property
    def half_window_g(self) -> float:
        """Half of what its window spans, in g; 0 for one that is counted by hand."""
        return float((self.upper_g or 0) - (self.lower_g or 0)) / 2

    @property
    def odd_pieces(self) -> int:
        """Pieces that don't come out even: they are counted in by hand before the first pour."""
        return self.pieces % self.pours
