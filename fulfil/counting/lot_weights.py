"""By which unit weight the pieces of a lot are counted: their own lot's, or another's with the spread of lots added.

A lot that nobody sampled is planned with the part's last sampled lot and the spread from lot to lot added
(:func:`weight_for_lot`); the paper says so. Nothing here needs a scale or arrays: customs ask for masses, too.

>>> from datetime import date
>>> def lot(name, mean_g, day):
...     return UnitWeight(part_number="M4", lot=name, mean_g=mean_g, u_g=0.001, piece_sd_g=0.01, sample_pieces=50,
...                       source=WeightSource.SAMPLED, as_of=day)
>>> known = [lot("A", 0.9, date(2026, 1, 5)), lot("B", 0.92, date(2026, 2, 2))]
>>> weight_for_lot(known, "A").note, weight_for_lot(known, "C").note
('', 'lot C not sampled: counted by lot B, spread of lots added')
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import cast

from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.revised import revised
from fulfil.store.books import Books
from fulfil.weighing import unit_weight
from fulfil.weighing.learning.prior import LEARNING_PRIOR

GIVEN_SD_FREEDOM = 50.0
"""Degrees of freedom of a piece s.d. that a file gave without any: known to 10 %, u(s)/s = 1/√(2ν), JCGM 100:2008,
E.4.3 (judgement)."""
_NEVER = datetime(1, 1, 1, tzinfo=UTC)


@dataclass(frozen=True)
class LotWeight:
    """The unit weight that a bin's pieces are counted by; ``note`` says so where it isn't their own lot's."""

    record: UnitWeight
    estimate: unit_weight.UnitWeight
    note: str = ""


def estimate_of(record: UnitWeight) -> unit_weight.UnitWeight:
    """The unit weight that a record describes, as the weighing room knows it.

    What was never weighed, or only one piece of it, is for planning alone.
    """
    source: unit_weight.Source = "group"
    if not record.may_accept:
        source = "geometry" if record.source is WeightSource.GEOMETRY else "handbook"
    elif record.piece_sd_source in ("single pieces", "sub-batches"):
        source = cast(unit_weight.Source, record.piece_sd_source)
    return unit_weight.UnitWeight(
        mean_g=record.mean_g,
        u_g=record.u_g,
        piece_sd_g=record.piece_sd_g,
        sample_pieces=record.sample_pieces,
        source=source,
        piece_sd_source=cast(unit_weight.PieceSdSource, record.piece_sd_source or "family prior"),
        piece_sd_freedom=record.piece_sd_freedom or GIVEN_SD_FREEDOM,
        lot=record.lot,
        count_doubt=record.count_doubt,
    )


def lot_sd_g(record: UnitWeight) -> float:
    """S.d. of the unit weight between lots: as learned, else half a percent (the prior of learning)."""
    return record.lot_sd_g or LEARNING_PRIOR.lot_sd_relative * record.mean_g


def weight_for_lot(weights: Sequence[UnitWeight], lot: str) -> LotWeight | None:
    """The unit weight by which pieces of a lot are counted, of all that the shop has of their part.

    The lot's own; else the one without a lot, which stands for all of them; else that of the lot sampled last (by day
    and time of the sample, ties by the later lot number) with the spread of lots added.
    """
    own = {weight.lot: weight for weight in weights}
    record = own.get(lot) or own.get("")
    if record is not None:
        return LotWeight(record, estimate_of(record))
    if not weights:
        return None
    last = last_sampled(weights)
    grown = estimate_of(last).after_lot_change(lot_sd_g(last))
    note = f"lot {lot or 'unknown'} not sampled: counted by lot {last.lot}, spread of lots added"
    return LotWeight(revised(last, {"u_g": grown.u_g}), grown, note)


def last_sampled(weights: Sequence[UnitWeight]) -> UnitWeight:
    """Of several lots the one that stands for another: sampled before not sampled, then the latest, ties by name."""
    return max(weights, key=lambda one: (one.may_accept, one.sampled_at or _NEVER, one.as_of or _NEVER.date(), one.lot))


def lot_weight(books: Books, part_number: str, lot: str) -> LotWeight | None:
    """The unit weight by which a part's lot is counted, from the books."""
    return weight_for_lot(books.find(UnitWeight, part_number=part_number), lot)
