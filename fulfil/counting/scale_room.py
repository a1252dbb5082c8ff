"""What the morning's check-weight test means for windows: how much room is left, and what must be counted by hand.

Windows allow for a share of the error permitted in service as an error that stays. Without a check of the last two
days that is :data:`fulfil.counting.count_lines.BIAS_SHARE`. A fresh check earns narrower windows: what it found, and
never less than :data:`CHECKED_SHARE`, for the loads it didn't test, eccentric loads and the drift of a day. A scale
that was found farther off than windows allow for is planned with what was found.

A check may pass by law and yet find more than the windows of bags that are planned already allow for: for each such
bag the risks are worked out anew with the error found, and the parts whose bags no longer hold them are named.
"""

from datetime import date, timedelta

from fulfil.counting.count_lines import BIAS_SHARE, bag_tare_u_g, scale_of
from fulfil.counting.lot_weights import lot_weight
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import ScaleStanding
from fulfil.shop.clock import local_day
from fulfil.store.books import Books
from fulfil.weighing.limits import risks_of_limits

CHECKED_SHARE = 0.25
"""Share of the permitted error that windows allow for at least, after a check that found less (judgement)."""
CHECK_HOLDS = timedelta(days=1)
_WAITING = (BagState.PLANNED, BagState.RECOUNT)


def bias_shares(books: Books, day: date) -> dict[str, float]:
    """By scale, the share of the permitted error that windows of a day allow for; unchecked ones are left out."""
    settings = books.settings()
    return {
        one.scale_code: allowed_share(one, is_fresh=day - local_day(one.checked_at, settings) <= CHECK_HOLDS)
        for one in books.find(ScaleStanding)
    }


def allowed_share(standing: ScaleStanding, *, is_fresh: bool) -> float:
    """What windows allow for after a check: what it found, within what the law permits.

    >>> from datetime import UTC, datetime
    >>> found = dict(scale_code="S", checked_at=datetime(2026, 3, 2, tzinfo=UTC), person="ann", has_passed=True)
    >>> [allowed_share(ScaleStanding(**found, worst_share=share), is_fresh=True) for share in (0.1, 0.4, 1.3)]
    [0.25, 0.4, 1.0]
    >>> allowed_share(ScaleStanding(**found, worst_share=0.1), is_fresh=False)
    0.5
    """
    return min(1.0, max(CHECKED_SHARE if is_fresh else BIAS_SHARE, standing.worst_share))


def parts_by_hand(books: Books, scale: ScaleRecord, share: float) -> tuple[str, ...]:
    """Parts with a bag waiting for its check whose window doesn't hold the shop's risk at this share, by number."""
    waiting = books.find(Bag, scale_code=scale.code, state=list(_WAITING))
    return tuple(sorted({bag.part_number for bag in waiting if not _holds(books, bag, scale, share)}))


def waiting_parts(books: Books, scale_code: str) -> tuple[str, ...]:
    """All parts with a bag waiting to be weighed on a scale, by number."""
    return tuple(sorted({bag.part_number for bag in books.find(Bag, scale_code=scale_code, state=list(_WAITING))}))


def _holds(books: Books, bag: Bag, record: ScaleRecord, share: float) -> bool:
    weight = lot_weight(books, bag.part_number, bag.lot)
    bag_type = books.get(BagType, bag.bag_type)
    if weight is None or bag_type is None or bag.lower_g is None or bag.upper_g is None or bag.target_g is None:
        return True
    settings = books.settings()
    scale = scale_of(record, share)
    known = weight.estimate.cautious(min(settings.risk_pass, settings.risk_reject / 2))
    is_net = bag.method.is_net
    risks = risks_of_limits(
        bag.pour_pieces,
        bag.lower_g,
        bag.upper_g,
        unit_weight_g=known.mean_g,
        unit_weight_u_g=known.u_g,
        piece_sd_g=known.piece_sd_g,
        indication_u_g=scale.net_window_u_g(float(bag.target_g)) if is_net else scale.window_u_g(float(bag.target_g)),
        tare_g=0.0 if is_net else float(bag.tare_g),
        tare_u_g=0.0 if is_net else bag_tare_u_g(bag_type),
        d_g=record.d_g,
        averaged_over="own sample",
    )
    return bool(bag.pours * max(risks.p_pass_one_short, risks.p_pass_one_over) <= settings.risk_pass)
