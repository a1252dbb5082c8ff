"""The make list and the buy list: what is to be made next door, what is to be bought from whom.

>>> row = JobRow(job_number="J2603020001", part_number="GEA-0012", description="Gear, 24 teeth", pieces=12,
...              orders=("O-1001 (12)",), due="Mon 2 Mar, 15:30")
>>> row.weight
''
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class JobRow:
    """One job: ``weight`` is what to cast or cut, with its unit; ``due`` the time, written already."""

    job_number: str
    part_number: str
    description: str
    size: str = ""
    finish: str = ""
    pieces: int
    booked_pieces: int = 0
    due: str = ""
    orders: tuple[str, ...] = ()
    weight: str = ""
    supplier: str = ""
    reason: str = ""
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class MakeListSheet(DocumentSheet):
    """Jobs for the make-room, the most urgent first."""

    rows: tuple[JobRow, ...]

    @property
    def pieces(self) -> int:
        """Pieces still to make."""
        return sum(row.pieces - row.booked_pieces for row in self.rows)


@dataclass(frozen=True, kw_only=True)
class BuyListSheet(DocumentSheet):
    """Jobs for suppliers: a heading wherever the supplier changes."""

    rows: tuple[JobRow, ...]

    @property
    def pieces(self) -> int:
        """Pieces still to come."""
        return sum(row.pieces - row.booked_pieces for row in self.rows)
