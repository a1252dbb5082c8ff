"""The daily check-weight test of a scale, and the one place that keeps a scale which failed it off every bench.

Every reading is recorded; what the test said of the scale is its *standing*. A scale that failed is *stopped*: no bag
or package is weighed on it, no sample taken, no window planned for it, until it passes again. A scale that was never
tested may be used; whether a shop must test daily is for its own rules and its weights-and-measures authority.

The limits are the errors permitted in service (OIML R 76-1:2006, 3.5.2 and 3.6.1; :mod:`fulfil.weighing.scale_check`).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.counting.count_lines import scale_of
from fulfil.counting.scale_room import allowed_share, parts_by_hand, waiting_parts
from fulfil.errors import WeighingRefused
from fulfil.records.equipment import ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.text import cut
from fulfil.records.weighing import ScaleStanding, Verdict, WeighedKind, WeighingRecord
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.scale_check import CheckReading, ScaleCheck, check_scale


@dataclass(frozen=True)
class ScaleTested:
    """What a test said, and whether the scale was stopped before it.

    ``allowed_share`` is the share of the permitted error that windows made from now on allow for; ``by_hand`` are the
    parts whose waiting bags allow for less than was found, or all of them where the scale is stopped.
    """

    standing: ScaleStanding
    check: ScaleCheck
    was_stopped: bool
    allowed_share: float
    by_hand: tuple[str, ...] = ()


def record_scale_check(
    shop: Shop,
    code: str,
    readings: Sequence[CheckReading],
    *,
    at: datetime,
    person: str,
    is_simulated: bool = False,
) -> ScaleTested:
    """Records a check-weight test: every reading, the scale's standing, the journal.

    Raises:
        UnknownRefused: when there is no such scale.
        WeighingRefused: no check weight above 0 g, a weight above capacity, one not known well enough, or no number.
    """
    with shop.writing() as books:
        scale = books.need(ScaleRecord, code)
        check = check_scale(scale_of(scale), readings)
        before = books.get(ScaleStanding, code)
        verdict = Verdict.PASSED if check.passed else Verdict.STOP
        reason = cut(" ".join(check.reasons))
        books.add(
            WeighingRecord(
                at=at,
                person=person,
                scale_code=code,
                kind=WeighedKind.CHECK_WEIGHT,
                subject=code,
                indication_g=reading.indication_g,
                verdict=verdict,
                reason=f"check weight {reading.weight_g} g",
                is_simulated=is_simulated,
            )
            for reading in readings
        )
        standing = ScaleStanding(
            scale_code=code,
            checked_at=at,
            person=person,
            has_passed=check.passed,
            worst_share=check.worst_share,
            reason=reason,
        )
        books.replace([standing])
        books.journal(
            at=at,
            person=person,
            event=Happening.SCALE_CHECKED,
            subject=code,
            particulars={"verdict": verdict, "reasons": check.reasons, "worst_share": round(check.worst_share, 3)},
            is_simulated=is_simulated,
        )
        share = allowed_share(standing, is_fresh=True)
        by_hand = parts_by_hand(books, scale, share) if check.passed else waiting_parts(books, code)
    return ScaleTested(standing, check, before is not None and not before.has_passed, share, by_hand)


def usable_scale(books: Books, code: str) -> ScaleRecord:
    """The scale of this code, if it may be used.

    Raises:
        UnknownRefused: when there is no such scale.
        WeighingRefused: when it is retired, or failed its last check-weight test.
    """
    scale = books.need(ScaleRecord, code)
    if scale.is_retired:
        known = ", ".join(one.code for one in usable_scales(books)) or "none is left"
        raise WeighingRefused("weigh on scale", code, f"a scale in use ({known}); this one is retired")
    standing = books.get(ScaleStanding, code)
    if standing is not None and not standing.has_passed:
        raise WeighingRefused(
            "weigh on scale",
            code,
            f"a scale that passed its check-weight test; this one failed on {standing.checked_at:%Y-%m-%d %H:%M} UTC. "
            "Use another scale, or test it again",
        )
    return scale


def if_usable(books: Books, code: str) -> ScaleRecord | None:
    """The scale of this code, if the shop has it and it may be used."""
    standing = books.get(ScaleStanding, code)
    return books.get(ScaleRecord, code) if standing is None or standing.has_passed else None


def usable_scales(books: Books) -> list[ScaleRecord]:
    """All scales that may be used, by code."""
    stopped = {standing.scale_code for standing in books.find(ScaleStanding, has_passed=False)}
    return [scale for scale in books.find(ScaleRecord, is_retired=False) if scale.code not in stopped]
