"""The package label: where to, where from, which package of how many.

The licence plate of a transport unit (ISO 15394:2017) is the shop's own package number, in plain Code 128.

>>> label = PackageLabelSheet(package_number="PK000042", order_number="O-1001", service="Parcel",
...     from_lines=("The shop",), to_lines=("Test Person", "PORTUGAL"), package_no=1, packages=2,
...     gross_g=Decimal("1250"))
>>> label.package_no, label.packages
(1, 2)
"""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, kw_only=True)
class PackageLabelSheet:
    """What the label of one package says: package ``package_no`` of ``packages``; addresses end with the country."""

    package_number: str
    order_number: str
    service: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    package_no: int
    packages: int
    gross_g: Decimal | None
    notice: str = ""
    cautions: tuple[str, ...] = ()
    language: str = "en"
