"""The revised NIOSH lifting equation: how much one person should lift, under the stated conditions.

RWL = LC · HM · VM · DM · AM · FM · CM with LC = 23 kg (DHHS (NIOSH) Publication 94-110, 1994, revised 9/2021,
doi 10.26616/NIOSHPUB94110revised092021). The lifting index is the load over that limit; above 1 the task should change.

>>> limit = recommended_weight_limit(h_cm=25, v_cm=55, d_cm=95, lifts_per_min=3, hours=1, coupling="fair")
>>> round(limit.rwl_kg, 1), round(limit.lifting_index(12), 2)
(15.7, 0.77)
>>> limit.vm, round(limit.dm, 3), limit.fm, limit.cm
(0.94, 0.867, 0.88, 0.95)
>>> caution(24)
'HEAVY: 24 kg is over 23 kg; two persons or a lifting aid. Local codes and a trained assessor govern.'

Limits: two-handed lifts of a stable load by a standing person on a good floor, eight hours at most; not for carrying,
pushing or one-handed work. The multipliers' formulas are published; their cut-offs and the frequency table are quoted
from memory, cross-checked with a public re-implementation. It warns; it clears no task.
"""

from bisect import bisect_left
from dataclasses import dataclass

from fulfil.errors import QuantityRefused, UnknownRefused

LOAD_CONSTANT_KG = 23.0
"""The most that anyone should lift, in the best of conditions."""

COUPLINGS = ("good", "fair", "poor")
"""How well the hands hold the load."""

_HOURS = (1, 2, 8)
_LIFTS_PER_MIN = (0.2, 0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15)
# (hours, whether V is 75 cm or more) → FM at each of _LIFTS_PER_MIN; above the last: 0. Table 5 of the publication.
_FM = {
    (1, False): (1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37, 0, 0, 0),
    (1, True): (
        *(1.00, 0.97, 0.94, 0.91, 0.88, 0.84, 0.80, 0.75, 0.70, 0.60, 0.52, 0.45, 0.41, 0.37),
        *(0.34, 0.31, 0.28),
    ),
    (2, False): (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0, 0, 0, 0, 0),
    (2, True): (0.95, 0.92, 0.88, 0.84, 0.79, 0.72, 0.60, 0.50, 0.42, 0.35, 0.30, 0.26, 0.23, 0.21, 0, 0, 0),
    (8, False): (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0, 0, 0, 0, 0, 0, 0),
    (8, True): (0.85, 0.81, 0.75, 0.65, 0.55, 0.45, 0.35, 0.27, 0.22, 0.18, 0.15, 0.13, 0, 0, 0, 0, 0),
}


@dataclass(frozen=True, slots=True)
class WeightLimit:
    """The multipliers of one lift, and the limit in kg that they give."""

    hm: float
    vm: float
    dm: float
    am: float
    fm: float
    cm: float

    @property
    def rwl_kg(self) -> float:
        """The recommended weight limit in kg."""
        return LOAD_CONSTANT_KG * self.hm * self.vm * self.dm * self.am * self.fm * self.cm

    def lifting_index(self, load_kg: float) -> float:
        """Load over limit; infinite where the limit is 0."""
        if load_kg <= 0:
            raise QuantityRefused("rate a lift of kg", load_kg, "a load above 0 kg")
        return load_kg / self.rwl_kg if self.rwl_kg else float("inf")


def recommended_weight_limit(
    *,
    h_cm: float,
    v_cm: float,
    d_cm: float,
    a_deg: float = 0,
    lifts_per_min: float = 0.2,
    hours: int = 8,
    coupling: str = "poor",
) -> WeightLimit:
    """The limit for lifting with both hands.

    Args:
        h_cm: hands from the midpoint between the ankles, horizontally.
        v_cm: hands above the floor at the start, 0 to 175.
        d_cm: vertical travel of the hands.
        a_deg: twist of the body, 0 to 135 degrees.
        lifts_per_min: mean over 15 minutes.
        hours: 1, 2 or 8: the work goes on no longer than this, with the rests that the publication asks for.
        coupling: 'good', 'fair' or 'poor'.

    Raises:
        QuantityRefused: for a length or angle below 0, or a duration other than 1, 2 or 8 hours.
        UnknownRefused: for another coupling.

    >>> recommended_weight_limit(h_cm=64, v_cm=75, d_cm=20).rwl_kg
    0.0
    """
    if min(h_cm, v_cm, d_cm, a_deg, lifts_per_min) < 0:
        raise QuantityRefused(
            "rate a lift with H, V, D, A, F", f"{h_cm}, {v_cm}, {d_cm}, {a_deg}, {lifts_per_min}", "none below 0"
        )
    if hours not in _HOURS:
        raise QuantityRefused("rate a lift over hours", hours, "1, 2 or 8")
    if coupling not in COUPLINGS:
        raise UnknownRefused("find the coupling", coupling, "one of good, fair, poor")
    at_height = v_cm >= 75
    column = bisect_left(_LIFTS_PER_MIN, lifts_per_min)  # between two rows the busier one counts
    return WeightLimit(
        hm=0.0 if h_cm > 63 else min(1.0, 25 / max(h_cm, 25)),
        vm=0.0 if v_cm > 175 else 1 - 0.003 * abs(v_cm - 75),
        dm=0.0 if d_cm > 175 else (1.0 if d_cm <= 25 else 0.82 + 4.5 / d_cm),
        am=0.0 if a_deg > 135 else 1 - 0.0032 * a_deg,
        fm=_FM[hours, at_height][column] if column < len(_LIFTS_PER_MIN) else 0.0,
        cm={"good": 1.0, "fair": 1.0 if at_height else 0.95, "poor": 0.90}[coupling],
    )


def caution(load_kg: float, limit: WeightLimit | None = None) -> str:
    """The caution to print for a load, empty when it is within 23 kg and within `limit`.

    >>> caution(12, recommended_weight_limit(h_cm=40, v_cm=20, d_cm=60))
    'HEAVY: 12 kg is over 8.2 kg for this shelf; two persons or a lifting aid. Local codes and a trained assessor govern.'
    >>> caution(5)
    ''
    """  # noqa: E501 - a caution is one line
    ending = "; two persons or a lifting aid. Local codes and a trained assessor govern."
    if load_kg > LOAD_CONSTANT_KG:
        return f"HEAVY: {load_kg:g} kg is over {LOAD_CONSTANT_KG:g} kg{ending}"
    if limit is not None and load_kg > limit.rwl_kg:
        return f"HEAVY: {load_kg:g} kg is over {limit.rwl_kg:.1f} kg for this shelf{ending}"
    return ""
