"""The unit-weight card of a part: what one piece weighs, how that is known, and what each scale can count of it.

>>> CardReach(scale="BENCH-1", interval_g=Decimal("0.01"), most=118).most
118
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from fulfil.records.sheets.document import DocumentSheet
from fulfil.records.sheets.line_chart import LineChart


@dataclass(frozen=True, kw_only=True)
class CardLot:
    """One lot: figures written already, with the digits to be printed; ``how`` says where they come from."""

    lot: str
    unit_weight: str
    uncertainty: str
    piece_sd: str
    how: str


@dataclass(frozen=True, kw_only=True)
class CardSample:
    """One recorded sample weighing."""

    day: date
    lot: str
    pieces: int
    gross_g: Decimal
    tare_g: Decimal
    scale: str


@dataclass(frozen=True, kw_only=True)
class CardReach:
    """What one scale can count in one bag; ``why_not`` where this part is never weighed on it."""

    scale: str
    interval_g: Decimal
    most: int
    why_not: str = ""


@dataclass(frozen=True, kw_only=True)
class UnitWeightCardSheet(DocumentSheet):
    """A part's card; ``advice`` is what to do next, one sentence each."""

    part_number: str
    description: str
    family: str
    size: str
    finish: str
    lots: tuple[CardLot, ...]
    reaches: tuple[CardReach, ...]
    samples: tuple[CardSample, ...]
    older_samples: int
    chart: LineChart | None
    advice: tuple[str, ...]
    risk_statement: str
