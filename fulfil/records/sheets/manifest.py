"""The manifest: the packages handed to one service at one collection.

>>> row = ManifestRow(package_number="PK000042", order_number="O-1001", consignee="Test Person", town="Lisboa",
...                   post_code="1000-001", country="PT", gross_g=Decimal("1250"))
>>> row.flags
''
"""

from dataclasses import dataclass
from datetime import time
from decimal import Decimal

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class ManifestRow:
    """One package; ``flags`` are short words such as 'customs' or 'lift by two'."""

    package_number: str
    order_number: str
    consignee: str
    town: str
    post_code: str = ""
    country: str
    gross_g: Decimal
    flags: str = ""


@dataclass(frozen=True, kw_only=True)
class ManifestSheet(DocumentSheet):
    """One collection of one service; ``state_sentence`` says whether and when it was closed and by whom."""

    service: str
    cut_off: time | None = None
    from_lines: tuple[str, ...]
    rows: tuple[ManifestRow, ...]
    state_sentence: str
    declaration: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def packages(self) -> int:
        """Packages handed over."""
        return len(self.rows)

    @property
    def gross_g(self) -> Decimal:
        """Gross mass of all packages."""
        return sum((row.gross_g for row in self.rows), Decimal(0))
