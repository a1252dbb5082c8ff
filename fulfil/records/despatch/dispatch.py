"""Packages, manifests, and the day's journal."""

from datetime import date
from decimal import Decimal
from enum import StrEnum

from pydantic import AwareDatetime
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line


class PackageState(StrEnum):
    """A package is planned, then sealed with its content, then on a closed manifest.

    *Stop* waits for a person; *undone* is one whose bags were taken out again before it was sealed.
    """

    PLANNED = "planned"
    STOP = "stop"
    SEALED = "sealed"
    SHIPPED = "shipped"
    UNDONE = "undone"


HERE = (PackageState.PLANNED, PackageState.STOP, PackageState.SEALED)
"""States of a package that is in the house; one that is undone holds nothing any more."""


class Package(Record):
    """One box of one order: expected gross weight, its window on the scale it was made for, and what the scale said.

    ``empty_g`` is what the empty box weighed, with cushioning, papers and closing strip, before a bag lay in it, and
    ``empty_scale_code`` the scale that said so; None where it wasn't weighed.
    """

    number: Code
    order_number: Code
    service_code: Code
    box_type: Code
    scale_code: Line = ""
    state: PackageState = PackageState.PLANNED
    expected_g: Decimal
    lower_g: Decimal
    upper_g: Decimal
    gross_g: Decimal | None = None
    visible_from_g: Decimal
    empty_g: Decimal | None = None
    empty_scale_code: Line = ""
    manifest_number: Line = ""
    sealed_at: AwareDatetime | None = None
    photo_path: Line = ""

    @property
    def known_g(self) -> Decimal:
        """What it weighed, in g; 0 before it was on a scale."""
        return self.gross_g or Decimal(0)


class ManifestState(StrEnum):
    """Open until the collection, then closed and never changed."""

    OPEN = "open"
    CLOSED = "closed"


class Manifest(Record):
    """The list of packages handed to one service at one collection."""

    number: Code
    service_code: Code
    day: date
    state: ManifestState = ManifestState.OPEN
    closed_at: AwareDatetime | None = None
    closed_by: Line = ""
    packages: int = Field(default=0, ge=0)
    weight_g: Decimal = Decimal(0)


class JournalEntry(Record):
    """One event of the day, never changed: who did what to what, and the particulars as JSON text."""

    at: AwareDatetime
    person: Code
    event: Code
    subject: Code
    particulars: str = "{}"
    is_simulated: bool = False
