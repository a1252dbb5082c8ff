"""What stands where on a cart, as its card and its pick list say it.

>>> CartPosition(position=3, order_number="O-1001", service="Parcel, two days", destination="PL", bags=4).bags
4
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class CartPosition:
    """One order on the cart; ``destination`` is short, such as the country's code, ``level`` a shelf."""

    position: int
    order_number: str
    service: str
    destination: str = ""
    bags: int
    note: str = ""
    level: str = ""


def level_words(level: int, levels: int) -> str:
    """Which shelf of a cart, counted from below; nothing of a cart that has one.

    >>> level_words(1, 2), level_words(2, 2), level_words(2, 3), level_words(1, 1)
    ('lowest shelf', 'top shelf', 'shelf 2', '')
    """
    if levels == 1:
        return ""
    return {1: "lowest shelf", levels: "top shelf"}.get(level, f"shelf {level}")
