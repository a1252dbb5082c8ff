"""The commercial invoice: the particulars of the aligned invoice of the UN Layout Key (UNECE Recommendation 6).

>>> row = InvoiceRow(line_no=1, part_number="SCR-0016", description="steel cap screws", pieces=250, unit_price_minor=6,
...                  hs_code="731815", origin="DE")
>>> row.amount_minor
1500
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.records.sheets.document import DocumentSheet
from fulfil.records.sheets.packing_list import PackedPackage


@dataclass(frozen=True, kw_only=True)
class InvoiceRow:
    """One order line as far as it is sent; prices in minor units."""

    line_no: int
    part_number: str
    description: str
    pieces: int
    unit_price_minor: int
    hs_code: str = ""
    origin: str = ""

    @property
    def amount_minor(self) -> int:
        """Pieces times unit price."""
        return self.pieces * self.unit_price_minor


@dataclass(frozen=True, kw_only=True)
class InvoiceSheet(DocumentSheet):
    """What one despatch of an order is worth, for the customs of the destination.

    ``terms`` are the terms of delivery with their named place and edition; ``net_g`` the net mass in whole grams.
    """

    order_number: str
    order_day: str = ""
    from_lines: tuple[str, ...]
    from_contact: str = ""
    to_lines: tuple[str, ...]
    to_contact: str = ""
    service: str
    country_of_destination: str
    countries_of_origin: tuple[str, ...]
    terms: str = ""
    currency: str
    rows: tuple[InvoiceRow, ...]
    packages: tuple[PackedPackage, ...]
    net_g: int
    declaration: str = ""

    @property
    def total_minor(self) -> int:
        """The invoice total."""
        return sum(row.amount_minor for row in self.rows)

    @property
    def gross_g(self) -> Decimal:
        """Gross mass of the packages that were weighed."""
        return sum((package.gross_g for package in self.packages if package.gross_g is not None), Decimal(0))
