"""Services: a carrier's offers, as the shop names them, with their limits and cut-offs; days without a collection."""

from datetime import date, time
from decimal import Decimal
from enum import StrEnum

from pydantic import model_validator
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line, Name, Text

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


class Service(Record):
    """An offer of a carrier; ``countries`` is ``*`` or space-separated ISO 3166-1 codes, ``refuses`` hazard words.

    Where a service tells lithium cells apart ``refuses`` has UN numbers (``UN3480``) too.
    A limit of 0 means that the service states none. ``size_preset`` names limits of :mod:`fulfil.standards.upu`.
    ``collection_days`` are space-separated ``Mon`` to ``Sun``, empty for every day. It collects at ``cut_off``, on some
    weekdays at another time: ``cut_offs`` are pairs such as ``Fri 15:00 Sat 11:30``, in the shop's time zone.
    ``holidays`` are the public holidays that its carrier keeps, as in :mod:`fulfil.standards.public_holidays`, empty
    for those of the shop (:mod:`fulfil.shipping.collections`). ``insured_up_to_minor`` is the largest value that it
    insures, in minor units of ``insured_currency``; without a currency it insures nothing. How it charges:
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
    cut_offs: Line = ""
    holidays: Line = ""
    insured_up_to_minor: int = Field(default=0, ge=0, le=999_999_999)
    insured_currency: Text = ""
    divisor_cm3_per_kg: int = Field(default=0, ge=0)
    side_rounding: SideRounding = SideRounding.NONE
    side_step_mm: int = Field(default=10, gt=0)
    weight_step_g: int = Field(default=1, gt=0)
    least_charge_g: int = Field(default=0, ge=0)
    is_retired: bool = False

    @property
    def own_cut_offs(self) -> dict[str, time]:
        """The weekdays with a cut-off of their own."""
        words = self.cut_offs.split()
        return {day: time.fromisoformat(at) for day, at in zip(words[::2], words[1::2], strict=True)}

    def cut_off_on(self, day: date) -> time:
        """The cut-off on a day, whether the service collects then or not."""
        return self.own_cut_offs.get(WEEK[day.weekday()], self.cut_off)

    def reaches(self, country: str) -> bool:
        """Whether the service goes to a country."""
        return self.countries.strip() == "*" or country in self.countries.split()


class Closure(Record):
    """Days on which a carrier doesn't collect (``service_code``), or the shop is closed (empty); both days included."""

    service_code: Text = ""
    first_day: date
    last_day: date
    why: Line = ""

    @model_validator(mode="after")
    def _days_in_order(self) -> "Closure":
        if self.last_day < self.first_day:
            raise ValueError("last_day must not be before first_day")
        return self
