"""The cart card: which order stands where on the cart.

>>> CartPosition(position=3, order_number="O-1001", service="Parcel, two days", destination="PL", bags=4).bags
4
"""

from dataclasses import dataclass
from datetime import time

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class CartPosition:
    """One order on the cart; ``destination`` is short, such as the country's code."""

    position: int
    order_number: str
    service: str
    destination: str = ""
    bags: int
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class CartCardSheet(DocumentSheet):
    """The card that hangs on the cart during its walk and until its last bag is packed.

    ``cart_name`` is printed as given: 'cart 2'.
    """

    walk_number: str
    cart_name: str
    cut_off: time | None = None
    cut_off_service: str = ""
    positions: tuple[CartPosition, ...]

    @property
    def bags(self) -> int:
        """Bags that must stand on the cart at the end of the walk."""
        return sum(position.bags for position in self.positions)
