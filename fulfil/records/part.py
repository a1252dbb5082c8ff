"""Parts of the catalogue and what one piece of them weighs.

>>> Part(number="SCR-0016", description="Cap screw M3 x 16", family="cap screw", size="M3 x 16", finish="zinc",
...      bulk_volume_mm3=420.0, longest_mm=19, supply="buy", price_minor=12, currency="EUR").hazard_words
()
"""

from datetime import date
from enum import StrEnum
from math import ceil, sqrt

from pydantic import AwareDatetime, model_validator
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Currency, Estimate, Line, Name
from fulfil.standards import lithium_batteries


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


class Part(Record):
    """A catalogue item: *family*, *size* and *finish* are what a person can see of it.

    ``bulk_volume_mm3`` is the room that one piece takes in a heap, an estimate. ``hazards`` is a space-separated list
    of the words in :mod:`fulfil.standards.dangerous_goods`. ``price_minor`` counts minor units of ``currency``.
    ``lithium`` says what lithium cell or battery the part is or has (:mod:`fulfil.standards.lithium_batteries`), empty
    for none; ``lead_ppm`` is its lead content in mg/kg, 0 where none is known. ``is_fragile`` marks what breaks or
    bends under other goods. ``pack_pieces`` is what one pack of the supplier holds, 1 where pieces are sold singly.

    ``width_mm`` and ``thickness_mm`` are the second and the shortest side of the piece as it is packed, 0 where nobody
    said: then :attr:`sides_mm` presumes them.
    """

    number: Code
    description: Name
    family: Name
    size: Line = ""
    finish: Line = ""
    bulk_volume_mm3: Estimate = Field(gt=0)
    longest_mm: int = Field(gt=0)
    width_mm: int = Field(default=0, ge=0)
    thickness_mm: int = Field(default=0, ge=0)
    supply: Supply
    supplier: Line = ""
    pack_pieces: int = Field(default=1, ge=1, le=999_999)
    hazards: Line = ""
    lithium: Line = ""
    lead_ppm: int = Field(default=0, ge=0, le=1_000_000)
    customs_description: Line = ""
    hs_code: Line = ""
    origin: Line = ""
    price_minor: int = Field(ge=0)
    currency: Currency
    photo_path: Line = ""
    is_retired: bool = False
    is_fragile: bool = False

    @model_validator(mode="after")
    def _sides_in_order(self) -> "Part":
        if self.width_mm > self.longest_mm or self.thickness_mm > (self.width_mm or self.longest_mm):
            raise ValueError("longest_mm, width_mm and thickness_mm must go from long to short")
        return self

    @property
    def sides_mm(self) -> tuple[int, int, int]:
        """Longest, second and shortest side, whole mm.

        What isn't told is presumed, rather too large than too small: a piece whose thickness is told is as wide as it
        is long; else its cross-section is a square, and the block around it takes twice the room that it has in a heap
        (a stand-in, common practice: measure it).

        >>> rod = Part(number="ROD-820", description="Rod 6 x 820", family="rod", bulk_volume_mm3=46_000.0,
        ...            longest_mm=820, supply="buy", price_minor=410, currency="EUR")
        >>> rod.sides_mm, rod.model_copy(update={"width_mm": 6, "thickness_mm": 6}).sides_mm
        ((820, 11, 11), (820, 6, 6))
        """
        presumed = min(self.longest_mm, ceil(sqrt(2 * self.bulk_volume_mm3 / self.longest_mm)))
        width_mm = self.width_mm or (self.longest_mm if self.thickness_mm else presumed)
        return self.longest_mm, width_mm, self.thickness_mm or min(width_mm, presumed)

    @property
    def hazard_words(self) -> tuple[str, ...]:
        """The hazards as single words, in the order given."""
        return tuple(self.hazards.split())

    @property
    def transport_words(self) -> tuple[str, ...]:
        """What a service may refuse of it: its hazards, and the UN number of its lithium cells."""
        un = (f"UN{lithium_batteries.parse(self.lithium).un_number}",) if self.lithium else ()
        return (*self.hazard_words, *un)


class UnitWeight(Record):
    """Mean mass of one piece of a part's lot, with its standard uncertainty and the piece-to-piece s.d.

    ``sample_pieces`` is the size of the sample behind it, 0 where nothing was weighed. ``lot`` is empty where the shop
    keeps no lots. ``as_of`` is the day of the shop's own last word on it, None for a weight from a file.

    ``piece_sd_source`` says how the piece s.d. was found, empty where the file gave it; ``piece_sd_freedom`` are its
    degrees of freedom, None where it is taken as known. ``lot_sd_g`` is the s.d. between lots, 0 where the shop has
    not learned it. What the sample alone said stays in the ``sample_…`` fields once the shop's weighings have moved the
    mean: ``learned_n`` of them, since ``sampled_at`` (None: all there are). ``count_doubt`` is the chance that the
    sample's hand count was off; 0 for one that other weighings proved, or that a file gave.
    """

    part_number: Code
    lot: Line = ""
    mean_g: Estimate = Field(gt=0)
    u_g: Estimate = Field(ge=0)
    piece_sd_g: Estimate = Field(ge=0)
    sample_pieces: int = Field(ge=0)
    source: WeightSource
    as_of: date | None = None
    piece_sd_source: Line = ""
    piece_sd_freedom: float | None = Field(default=None, gt=0)
    lot_sd_g: Estimate = Field(default=0.0, ge=0)
    sampled_at: AwareDatetime | None = None
    sample_mean_g: float | None = Field(default=None, gt=0)
    sample_u_g: float | None = Field(default=None, ge=0)
    sample_sd_g: float | None = Field(default=None, ge=0)
    learned_n: int = Field(default=0, ge=0)
    count_doubt: Estimate = Field(default=0.0, ge=0, le=1)

    @property
    def may_accept(self) -> bool:
        """Whether bags may be accepted by it: only after a sample of at least two pieces was weighed."""
        return self.source is WeightSource.SAMPLED and self.sample_pieces >= 2
