"""The packing list: what lies in the packages, what follows, for the consignee.

Its particulars are those of a despatch advice (UN document type 351): who, to whom, for which order, by which
service, in how many packages, and for each line what was ordered and what is inside. Prices aren't needed.

>>> line = PackingLine(line_no=1, part_number="SCR-0016", description="Cap screw", ordered=300, inside=250,
...                    to_follow=50)
>>> line.sent_before
0
"""

from dataclasses import dataclass
from decimal import Decimal

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class PackingLine:
    """One order line: ``ordered`` = ``inside`` + ``to_follow`` + ``sent_before`` + ``cancelled``."""

    line_no: int
    part_number: str
    description: str
    ordered: int
    inside: int
    to_follow: int = 0
    sent_before: int = 0
    cancelled: int = 0
    bags: int = 0
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class PackedPackage:
    """One package of the despatch and its gross mass (None before it was weighed)."""

    number: str
    gross_g: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class PackingListSheet(DocumentSheet):
    """What is sent for one order.

    ``from_lines`` and ``to_lines`` are whole addresses, one line each, the country last; ``contact`` says whom to
    ask; ``remarks`` are sentences for the consignee. ``also_in`` is the language (BCP 47) in which the fixed words are
    printed beside English; empty for English alone.
    """

    order_number: str
    service: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    lines: tuple[PackingLine, ...]
    packages: tuple[PackedPackage, ...]
    contact: str = ""
    remarks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    also_in: str = ""

    @property
    def pieces_inside(self) -> int:
        """Pieces in all packages."""
        return sum(line.inside for line in self.lines)

    @property
    def pieces_to_follow(self) -> int:
        """Pieces that are still owed."""
        return sum(line.to_follow for line in self.lines)
