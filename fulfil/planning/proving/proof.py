"""A proven bound: how short the walks of any plan could be at best, by column generation with cuts.

The linear programme over all batches (:mod:`fulfil.planning.proving.master`) is solved by adding batches that price out
(:mod:`fulfil.planning.proving.near_pricing`, then :mod:`fulfil.planning.proving.pricing`) until exact pricing finds
none. Then no plan is shorter than its value (Gademann & van de Velde 2005, doi 10.1080/07408170590516917), and the
bound is *closed*. Cuts lift it further while time lasts. Every bound is computed in whole numbers
(:mod:`fulfil.planning.proving.bound`), and the best one met so far is kept, so a proof can be stopped at any time.

>>> from fulfil.planning.batching import plan_batches
>>> from fulfil.room.block import Block
>>> orders = [[(0, 2000)], [(2, 9000)], [(0, 8000)], [(2, 8000)]]
>>> proof = prove(plan_batches(Block((0, 5000, 10000), 10000), orders, capacity=2))
>>> proof.bound_mm, proof.closed, proof.gap
(54000, True, 0.0)

Limits: exact pricing grows exponentially with the places of a cart, so for more than a few hundred orders, or carts
of far more than twelve, the bound may stay open. Time decides how far the bound is driven; it never changes a plan.
"""

from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from fulfil.planning.plan import PartWalks, Plan, walk_mm
from fulfil.planning.proving.bound import PartBound
from fulfil.progress import tell


@dataclass(frozen=True)
class Proof:
    """How far a plan is from the best possible.

    Attributes:
        bound_mm: No plan's walks are shorter.
        closed: Whether exact pricing closed: the bound is the value of the linear programme over all batches, or more.
        plan: The plan.
        bound_cost_mm: No plan costs less, walks and set-ups; as the walks alone where walks cost no set-up.
    """

    bound_mm: int
    closed: bool
    plan: Plan
    bound_cost_mm: int = 0

    @property
    def gap(self) -> float:
        """How much longer the plan is than the bound, as a share of the bound; 0 is proven best."""
        return self.plan.length_mm / self.bound_mm - 1.0 if self.bound_mm else 0.0

    @property
    def cost_gap(self) -> float:
        """The same of what the search made least, walks with their set-ups: of time."""
        return self.plan.cost_mm / self.bound_cost_mm - 1.0 if self.bound_cost_mm else 0.0


def prove(
    plan: Plan,
    *,
    seconds: float = 60,
    progress: Callable[[int, int], None] | None = None,
    clock: Callable[[], float] = monotonic,
) -> Proof:
    """Bound the plan from below.

    Args:
        plan: As :func:`fulfil.planning.batching.plan_batches` made it; fixed batches stay fixed.
        seconds: When to stop at the latest (a look at the clock now and then: a little later).
        progress: Called with plan length and bound, in mm, whenever the bound may have grown.
        clock: Seconds that only grow.
    """
    until = clock() + seconds
    fixed_mm = sum(walk_mm(plan.walks, batch) for batch in plan.fixed)
    bounds: list[PartBound] = []
    for places in plan.groups_of_orders():
        local = {place: order for order, place in enumerate(places)}
        batches = [tuple(local[order] for order in batch) for batch in plan.batches if batch[0] in local]
        bounds.append(PartBound(PartWalks.of(plan.walks, places), plan.loads.part(places), batches, plan.set_up_mm))

    def met() -> None:
        tell("proving, seconds", min(int(seconds), int(seconds - (until - clock()))), int(seconds))
        if progress is not None:
            progress(plan.length_mm, fixed_mm + sum(bound.bound_mm for bound in bounds))

    for left, bound in zip(range(len(bounds), 0, -1), bounds, strict=True):
        now = clock()
        bound.drive(clock, now + max(0.0, until - now) / left, met)
    return Proof(
        bound_mm=fixed_mm + sum(bound.bound_mm for bound in bounds),
        closed=all(bound.closed or bound.bound_cost_mm == bound.cost_mm for bound in bounds),
        plan=plan,
        bound_cost_mm=fixed_mm + len(plan.fixed) * plan.set_up_mm + sum(bound.bound_cost_mm for bound in bounds),
    )
