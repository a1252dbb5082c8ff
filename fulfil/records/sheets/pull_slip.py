"""The pull slip: what a changed or cancelled order means at the benches.

>>> PullRow(bag_code="B1", walk_number="W1", cart_position=3, was="passed", part_number="BALL-3",
...         description="Ball", pieces=50, bin_code="01L-01-1A").cart_position
3
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class PullRow:
    """One bag to pull: where it stands, what is in it, where its pieces belong; ``was`` is how far it had come."""

    bag_code: str
    walk_number: str
    cart_position: int
    was: str
    part_number: str
    description: str
    pieces: int
    bin_code: str


@dataclass(frozen=True, kw_only=True)
class PullSlipSheet(DocumentSheet):
    """The slip; ``tells`` are sentences for the bench besides the bags."""

    order_number: str
    reason: str
    tells: tuple[str, ...] = ()
    rows: tuple[PullRow, ...] = ()
