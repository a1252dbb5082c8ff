"""A package of a despatch, as packing list and invoice name it.

>>> PackedPackage(number="PK000042").gross_g is None
True
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class PackedPackage:
    """One package of the despatch and its gross mass (None before it was weighed)."""

    number: str
    gross_g: Decimal | None = None
