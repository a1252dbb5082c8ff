"""Parts of the catalogue and what one piece of them weighs.

>>> Part(number="SCR-0016", description="Cap screw M3 x 16", family="cap screw", size="M3 x 16", finish="zinc",
...      bulk_volume_mm3=420.0, longest_mm=19, supply="buy", price_minor=12, currency="EUR").hazard_words
()
"""

from datetime import date
from enum import StrEnum

from sqlmodel import Field, SQLModel

from fulfil.records.text import Code, Currency, Estimate, Line, Name


class Supply(StrEnum):
    """Where missing pieces come from: the make-room next door, or a supplier."""

    MAKE = "make"
    BUY = "buy"


class WeightSource(StrEnum):
    """Where a unit weight comes from; only a weighed sample may accept a bag."""

    SAMPLED = "sampled"
    GEOMETRY = "geometry"
    HANDBOOK = "handbook"
    SUPPLIER = "supplier"


class Part(SQLModel):
    """A catalogue item: *family*, *size* and *finish* are what a person can see of it.

    ``bulk_volume_mm3`` is the room that one piece takes in a heap, an estimate. ``hazards`` is a space-separated list
    of the words in :mod:`fulfil.standards.dangerous_goods`. ``price_minor`` counts minor units of ``currency``.
    """

    number: Code
    description: Name
    family: Name
    size: Line = ""
    finish: Line = ""
    bulk_volume_mm3: Estimate = Field(gt=0)
    longest_mm: int = Field(gt=0)
    supply: Supply
    supplier: Line = ""
    hazards: Line = ""
    customs_description: Line = ""
    hs_code: Line = ""
    origin: Line = ""
    price_minor: int = Field(ge=0)
    currency: Currency
    photo_path: Line = ""
    is_retired: bool = False

    @property
    def hazard_words(self) -> tuple[str, ...]:
        """The hazards as single words, in the order given."""
        return tuple(self.hazards.split())


class UnitWeight(SQLModel):
    """Mean mass of one piece of a part's lot, with its standard uncertainty and the piece-to-piece s.d.

    ``sample_pieces`` is the size of the sample behind it, 0 where nothing was weighed. ``lot`` is empty where the shop
    keeps no lots.
    """

    part_number: Code
    lot: Line = ""
    mean_g: Estimate = Field(gt=0)
    u_g: Estimate = Field(ge=0)
    piece_sd_g: Estimate = Field(ge=0)
    sample_pieces: int = Field(ge=0)
    source: WeightSource
    as_of: date | None = None

    @property
    def may_accept(self) -> bool:
        """Whether bags may be accepted by it: only after a sample of at least two pieces was weighed."""
        return self.source is WeightSource.SAMPLED and self.sample_pieces >= 2
