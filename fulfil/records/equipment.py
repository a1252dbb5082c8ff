"""What stands on the benches: scales, bag types, box types."""

from decimal import Decimal

from pydantic import model_validator
from sqlmodel import Field

from fulfil.records.revised import Record
from fulfil.records.text import Code, Estimate, Line, Text


class ScaleRecord(Record):
    """A scale as its plate says (OIML R 76-1:2006): accuracy class, e, d, Max, Min, in grams.

    ``repeatability_g`` is the s.d. of repeated weighings of one load, 0 where it was not measured. A retired scale
    weighs nothing more; what it weighed still names it.
    """

    code: Code
    accuracy_class: Line
    e_g: Decimal = Field(gt=0)
    d_g: Decimal = Field(gt=0)
    max_g: Decimal = Field(gt=0)
    min_g: Decimal = Field(ge=0)
    repeatability_g: Estimate = Field(default=0.0, ge=0)
    use: Line = "bags"
    is_retired: bool = False

    @model_validator(mode="after")
    def _limits_in_order(self) -> "ScaleRecord":
        if self.accuracy_class not in ("I", "II", "III", "IIII"):
            raise ValueError("accuracy_class must be I, II, III or IIII")
        if not (self.d_g <= self.e_g and self.min_g < self.max_g):
            raise ValueError("d_g must be <= e_g, and min_g < max_g")
        return self


class BagType(Record):
    """An empty bag: flat inside size, what it can hold closed, its tare with the s.d. from bag to bag.

    ``price_minor`` is what one costs, in minor units of ``currency``; an empty currency says that nobody told.
    """

    code: Code
    width_mm: int = Field(gt=0)
    height_mm: int = Field(gt=0)
    usable_volume_mm3: int = Field(gt=0)
    tare_g: Decimal = Field(gt=0)
    tare_sd_g: Estimate = Field(ge=0)
    max_load_g: Decimal = Field(gt=0)
    price_minor: int = Field(default=0, ge=0, le=999_999_999)
    currency: Text = ""


class BoxType(Record):
    """An empty shipping box: inside size, wall, tare, the fraction that bags may fill, and its cushioning.

    ``cushioning_g`` is what is filled in at the bench; a shop that doesn't tell it apart has it in ``tare_g``.
    ``price_minor`` is what one costs with its filling, in minor units of ``currency``, empty where nobody told.
    """

    code: Code
    length_mm: int = Field(gt=0)
    width_mm: int = Field(gt=0)
    height_mm: int = Field(gt=0)
    wall_mm: int = Field(default=0, ge=0)
    tare_g: Decimal = Field(gt=0)
    tare_sd_g: Estimate = Field(ge=0)
    max_load_g: Decimal = Field(gt=0)
    fill_fraction: Estimate = Field(gt=0, le=1)
    cushioning_g: Decimal = Field(default=Decimal(0), ge=0)
    cushioning_sd_g: Estimate = Field(default=0.0, ge=0)
    price_minor: int = Field(default=0, ge=0, le=999_999_999)
    currency: Text = ""

    @property
    def inside_mm(self) -> tuple[int, int, int]:
        """Inside length, width and height, as given."""
        return self.length_mm, self.width_mm, self.height_mm

    @property
    def usable_volume_mm3(self) -> int:
        """What bags may take of the inside."""
        return int(self.length_mm * self.width_mm * self.height_mm * self.fill_fraction)

    @property
    def outside_mm(self) -> tuple[int, int, int]:
        """Outside length, width and height, longest first."""
        a, b, c = sorted((self.length_mm, self.width_mm, self.height_mm), reverse=True)
        return (a + 2 * self.wall_mm, b + 2 * self.wall_mm, c + 2 * self.wall_mm)


class PrinterRecord(Record):
    """A printer: what it is, what lies in it, which papers go to it, and how they get there.

    Attributes:
        dpi: its resolution; bars are drawn on its dots.
        media: a page (``A4``, ``Letter``), a label on a roll as width x height in mm (``60x40``), or a sheet of labels:
            the label's size, then columns x rows, the first label's corner and the steps in mm, such as
            ``60x40 on A4: 3 x 6 at 10,12 step 65,45``.
        papers: what goes to it, by the papers' file names with spaces between; empty: what no other printer has.
        language: ``pdf``, or dots: ``picture`` (PDF), ``zpl``, ``epl``, ``tspl``.
        sends_to: ``folder`` (where papers are written anyway), ``nobody`` (not printed at all), ``queue NAME`` of the
            computer's print system, or ``socket HOST:PORT``, raw bytes.
        right_mm, down_mm: by how much dots are moved, where a printer is off.
    """

    name: Code
    dpi: int = Field(ge=100, le=2400)
    media: Line
    papers: Line = ""
    language: Line = "pdf"
    sends_to: Line = "folder"
    right_mm: Estimate = Field(default=0.0, ge=-20, le=20)
    down_mm: Estimate = Field(default=0.0, ge=-20, le=20)
    is_retired: bool = False
