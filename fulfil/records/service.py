"""Services: a carrier's offers, as the shop names them, with their limits and cut-off."""

from datetime import time
from decimal import Decimal
from enum import StrEnum

from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Line, Name


class ServiceKind(StrEnum):
    """Parcel services and postal ones follow different rules."""

    PARCEL = "parcel"
    POSTAL = "postal"


class Service(SQLModel):
    """An offer of a carrier; ``countries`` is ``*`` or space-separated ISO 3166-1 codes, ``refuses`` hazard words.

    A limit of 0 means that the service states none.
    """

    code: Code
    name: Name
    kind: ServiceKind
    countries: str = "*"
    cut_off: time
    max_weight_g: Decimal = Field(ge=0)
    max_longest_mm: int = Field(default=0, ge=0)
    max_length_girth_mm: int = Field(default=0, ge=0)
    refuses: Line = ""

    def reaches(self, country: str) -> bool:
        """Whether the service goes to a country."""
        return self.countries.strip() == "*" or country in self.countries.split()
