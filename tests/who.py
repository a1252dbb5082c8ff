"""When and by whom a step of the shop is done, as the two arguments that every step takes."""

from datetime import datetime
from typing import TypedDict


class Who(TypedDict):
    """Spread over a call: ``add_order(shop, …, **WHO)``."""

    at: datetime
    person: str
