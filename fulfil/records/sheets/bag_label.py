"""The bag label: one part, one count, one label.

>>> label = BagLabelSheet(bag_code="42000017", part_number="SCR-0016", description="Cap screw M3 x 16",
...     family="cap screw", size="M3 x 16", finish="zinc", pieces=250, method=CountMethod.HAND, order_number="O-1001",
...     cart_position=3, stop_no=12, bin_code="A04-L-07-2", walk_number="W-0007")
>>> label.is_counted_by_hand
True
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.records.plan import CountMethod


@dataclass(frozen=True, kw_only=True)
class BagLabelSheet:
    """What the label of one bag says; weights as on :class:`~fulfil.records.sheets.pick_list.PickBag`.

    ``note`` is short ('bag 1 of 2'); ``cautions`` are printed on the label, so a few words each.
    """

    bag_code: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    pieces: int
    method: CountMethod
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    order_number: str
    cart_position: int
    stop_no: int
    bin_code: str
    walk_number: str
    bag_type: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def is_counted_by_hand(self) -> bool:
        """Whether no weight may accept this bag."""
        return self.method is CountMethod.HAND
