"""The pick list: one walk, stop by stop, bag by bag.

>>> bag = PickBag(bag_code="42000017", cart_position=3, order_number="O-1001", pieces=250, method=CountMethod.WEIGH,
...               tare_g=Decimal("3.10"), target_g=Decimal("318.40"), lower_g=Decimal("317.95"),
...               upper_g=Decimal("318.85"))
>>> bag.note
''
"""

from dataclasses import dataclass
from datetime import time
from decimal import Decimal

from fulfil.papers.floor.route_map import RouteMapSheet
from fulfil.papers.sheet import DocumentSheet
from fulfil.papers.walk.cart_position import CartPosition
from fulfil.records.place import Side
from fulfil.records.plan import CountMethod


@dataclass(frozen=True, kw_only=True)
class PickBag:
    """One bag to fill at a stop.

    Weights are what the scale shows with the bag on it (gross); all three are None where the count can't be weighed.
    ``note`` is what must be done besides, short: 'bag 1 of 2', 'weigh 20 first'; ``reason`` says why the bag
    is split, counted by hand, or made for another lot.
    """

    bag_code: str
    cart_position: int
    order_number: str
    pieces: int
    method: CountMethod
    tare_g: Decimal
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    bag_type: str = ""
    scale: str = ""
    note: str = ""
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class PickStop:
    """One bin of the walk, and the bags filled there.

    Attributes:
        stop_no: counts from 1 along the walk, as on the map.
        turn: how to get here from the stop before, such as 'Aisle 4, from the back'; empty within one group.
        way_word: "aisle", or "passage" in a room of passages.
        side: of the aisle, seen from the front, as the bins are signed.
        on_your: the hand on which the bin is when the picker comes along; None where that isn't known.
        description: of the part, up to 200 characters; ``family``, ``size`` and ``finish`` say what it looks like.
        cautions: one sentence each.
    """

    stop_no: int
    turn: str = ""
    bin_code: str
    aisle: str
    way_word: str = "aisle"
    side: Side
    section: int
    level: int
    on_your: Side | None = None
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    bags: tuple[PickBag, ...]
    cautions: tuple[str, ...] = ()

    @property
    def pieces(self) -> int:
        """Taken from the bin in all."""
        return sum(bag.pieces for bag in self.bags)


@dataclass(frozen=True, kw_only=True)
class PickListSheet(DocumentSheet):
    """The paper of a walk.

    Attributes:
        cart_name: printed as given, such as 'cart 2'.
        cart: which order stands on which position of the cart.
        cut_off, cut_off_service: the earliest cut-off among the orders of the walk, and whose it is.
        length_mm: of the walk.
        risk_statement: for which risks the windows were made, one sentence.
        bound_statement: how far from the best possible the plan is, one sentence.
        cautions: for the whole walk, one sentence each.
    """

    walk_number: str
    cart_name: str
    cart: tuple[CartPosition, ...] = ()
    cut_off: time | None = None
    cut_off_service: str = ""
    length_mm: int
    stops: tuple[PickStop, ...]
    route_map: RouteMapSheet | None = None
    risk_statement: str
    bound_statement: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def bags(self) -> int:
        """Bags of the whole walk."""
        return sum(len(stop.bags) for stop in self.stops)

    @property
    def pieces(self) -> int:
        """Pieces of the whole walk."""
        return sum(stop.pieces for stop in self.stops)
