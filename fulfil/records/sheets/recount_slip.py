"""The recount slip: goes back to the bin with a bag that failed its check.

>>> sheet = RecountSlipSheet(slip_number="R2503040001", bag_code="B2503040017", bin_code="A04-L-07-2",
...     order_number="O-1001", walk_number="W2503040001", cart_position=3, part_number="SCR-0016",
...     description="Cap screw M3 x 16", family="cap screw", pieces=250, saw="weighs 231.04 g", steps=("Count again.",),
...     which=1, most=3, day=date(2025, 3, 4))
>>> sheet.is_last
False
"""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, kw_only=True)
class RecountSlipSheet:
    """What the scale saw, what is likely, where to go, what to do.

    ``which`` of ``most`` checks this was; ``window`` and ``legal_floor`` are sentences, empty where there is nothing to
    say.
    """

    slip_number: str
    bag_code: str
    bin_code: str
    order_number: str
    walk_number: str
    cart_position: int
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    pieces: int
    window: str = ""
    saw: str
    likely: tuple[str, ...] = ()
    steps: tuple[str, ...]
    which: int
    most: int
    legal_floor: str = ""
    cautions: tuple[str, ...] = ()
    notice: str = ""
    day: date

    @property
    def is_last(self) -> bool:
        """Whether the bag stays: it came back for the last time."""
        return self.which >= self.most
