"""Services: a carrier's offers, as the shop names them, with their limits and cut-off."""

from datetime import time
from decimal import Decimal
from enum import StrEnum

from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Line, Name

WEEK = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")


class ServiceKind(StrEnum):
    """Parcel services and postal ones follow different rules."""

    PARCEL = "parcel"
    POSTAL = "postal"


class SideRounding(StrEnum):
    """How a service rounds a side, to its ``side_step_mm``, before it works out the dimensional weight."""

    NONE = "none"
    UP = "up"
    HALF_UP = "half-up"


class Service(SQLModel):
    """An offer of a carrier; ``countries`` is ``*`` or space-separated ISO 3166-1 codes, ``refuses`` hazard words.

    Where a service tells lithium cells apart ``refuses`` has UN numbers (``UN3480``) too.
    A limit of 0 means that the service states none. ``size_preset`` names limits of :mod:`fulfil.standards.upu`.
    ``collection_days`` are space-separated ``Mon`` to ``Sun``, empty for every day. How it charges:
    ``divisor_cm3_per_kg`` (0: by mass alone), ``side_rounding``, ``weight_step_g`` and ``least_charge_g``, see
    :mod:`fulfil.shipping.services`. No new order goes by a retired service; old papers and bills still name it.
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
    size_preset: Line = ""
    collection_days: Line = ""
    divisor_cm3_per_kg: int = Field(default=0, ge=0)
    side_rounding: SideRounding = SideRounding.NONE
    side_step_mm: int = Field(default=10, gt=0)
    weight_step_g: int = Field(default=1, gt=0)
    least_charge_g: int = Field(default=0, ge=0)
    is_retired: bool = False

    def reaches(self, country: str) -> bool:
        """Whether the service goes to a country."""
        return self.countries.strip() == "*" or country in self.countries.split()
