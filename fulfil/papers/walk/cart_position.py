"""What stands where on a cart, as its card and its pick list say it.

>>> CartPosition(position=3, order_number="O-1001", service="Parcel, two days", destination="PL", bags=4).bags
4
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class CartPosition:
    """One order on the cart; ``destination`` is short, such as the country's code."""

    position: int
    order_number: str
    service: str
    destination: str = ""
    bags: int
    note: str = ""
