"""The checklist: a second person scans, weighs and looks at every bag of a cart.

>>> row = CheckBag(bag_code="42000017", cart_position=3, order_number="O-1001", part_number="WSH-0003",
...     description="Washer M3", family="washer", look_at="outer diameter 7 mm, flat",
...     look_alikes=("not 9 mm (WSH-0004)",), pieces=250, method=CountMethod.HAND)
>>> row.must_look
True
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.records.plan import CountMethod
from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class CheckBag:
    """One bag to check.

    Attributes:
        look_at: what must be seen on the part, in a few words; empty where the eye has nothing to go by.
        look_alikes: what it is not, in few words: the parts that weight can't tell from it.
        second_look: why this bag is looked at twice.
    """

    bag_code: str
    cart_position: int
    order_number: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    look_at: str = ""
    look_alikes: tuple[str, ...] = ()
    second_look: tuple[str, ...] = ()
    pieces: int
    method: CountMethod
    target_g: Decimal | None = None
    lower_g: Decimal | None = None
    upper_g: Decimal | None = None
    scale: str = ""
    note: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def must_look(self) -> bool:
        """Whether a person must look at the part itself."""
        return bool(self.look_at or self.look_alikes)


@dataclass(frozen=True, kw_only=True)
class ChecklistSheet(DocumentSheet):
    """All bags of one cart, in the order of its positions; the checker isn't the picker."""

    walk_number: str
    cart_name: str
    rows: tuple[CheckBag, ...]
    risk_statement: str
    cautions: tuple[str, ...] = ()

    @property
    def bags(self) -> int:
        """Bags to check."""
        return len(self.rows)

    @property
    def bags_to_look_at(self) -> int:
        """Bags of which a person looks at the part itself: its family, size and finish."""
        return sum(row.must_look for row in self.rows)

    @property
    def bags_to_look_at_twice(self) -> int:
        """Bags with a reason for a second look."""
        return sum(bool(row.second_look) for row in self.rows)

    @property
    def bags_by_hand(self) -> int:
        """Bags whose pieces are counted by hand."""
        return sum(row.method is CountMethod.HAND for row in self.rows)
