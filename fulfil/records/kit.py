"""Kits and assortments: a part made of parts, sold as one line.

>>> KitPart(kit_number="KIT-1", part_number="BALL-3", pieces=10).pieces
10
"""

from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code


class KitPart(Record):
    """How many pieces of a part are in one kit."""

    kit_number: Code
    part_number: Code
    pieces: int = Field(ge=1, le=999_999)
