"""How far the day's plan is from the best possible: a lower bound, proven, written beside the plan."""

from collections.abc import Callable
from datetime import date, datetime

from fulfil.errors import StateRefused
from fulfil.planning.batching import Plan
from fulfil.planning.proof import Proof, prove
from fulfil.records.plan import PlanRecord
from fulfil.store.shop import Shop


def prove_plan(
    shop: Shop,
    plan: Plan,
    *,
    day: date,
    at: datetime,
    person: str,
    seconds: float,
    clock: Callable[[], float],
    progress: Callable[[int, int], None] | None = None,
) -> Proof:
    """Drives the bound of a plan for at most ``seconds`` of ``clock`` and writes what was proven.

    Raises:
        StateRefused: when the day has no plan.
    """
    proof = prove(plan, seconds=seconds, clock=clock, progress=progress)
    with shop.writing() as books:
        records = books.find(PlanRecord, day=day)
        if not records:
            raise StateRefused("prove the plan of", day, "a planned day; plan first")
        proven = records[-1].model_copy(update={"bound_mm": proof.bound_mm, "bound_is_closed": proof.closed})
        books.replace([proven])
        particulars = {"bound_mm": proof.bound_mm, "closed": proof.closed}
        books.journal(at=at, person=person, event="plan bounded", subject=str(day), particulars=particulars)
    return proof
