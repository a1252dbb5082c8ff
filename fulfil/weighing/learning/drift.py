"""Drift of a part's weight or of a scale: EWMA and CUSUM charts of standardised residuals.

A residual is net − N μ̂ over its s.d. The exponentially weighted moving average answers small lasting
shifts, the cumulative sum also says since when (NIST/SEMATECH e-Handbook of Statistical Methods,
sections 6.3.2.4 and 6.3.2.3)::

    EWMA_t = λ z_t + (1 − λ) EWMA_{t−1}          out beyond ± L √(λ/(2 − λ))
    high_t = max(0, high_{t−1} + z_t − k)        out above h; low_t likewise with −z

By default each chart raises a false alarm once in about 9,000 weighings (computed in
``tests/weighing/run_length.py``), the pair once in about 6,000, and a shift of one s.d. is found after about 16. The
e-Handbook's EWMA example:

>>> ewma([52.0, 47.0, 53.0, 49.3], weight=0.3, start=50.0).round(2).tolist()
[50.6, 49.52, 50.56, 50.18]

After a signal the cause is sought in all weighings since the change, of every part and scale
(:mod:`fulfil.weighing.learning.drift_cause`).

Limits: a chart needs its weighings in the order of time; standardise with the piece, scale and tare terms
and a unit weight that is well known, since an error of the unit weight is itself a shift to the chart.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate
from math import isfinite, sqrt

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fulfil.errors import WeighingRefused
from fulfil.weighing.learning.drift_cause import DriftCause, Weighings, likely_cause

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ChartSettings:
    """Tuning of both charts, in s.d. of one residual.

    Attributes:
        weight: λ of the EWMA, above 0 and at most 1.
        limit_sd: L of the EWMA.
        allowance: k of the CUSUM, half the shift it is tuned to.
        decision: h of the CUSUM.
    """

    weight: float = 0.2
    limit_sd: float = 3.8
    allowance: float = 0.5
    decision: float = 8.0

    def __post_init__(self) -> None:
        if not 0 < self.weight <= 1:
            raise WeighingRefused("draw an EWMA with weight", self.weight, "a number above 0, at most 1")
        for name in ("limit_sd", "allowance", "decision"):
            if not (isfinite(getattr(self, name)) and getattr(self, name) > 0):
                raise WeighingRefused(f"draw a drift chart with {name}", getattr(self, name), "a number above 0")

    @property
    def ewma_limit(self) -> float:
        """Half-width of the EWMA's limits, in s.d. of one residual."""
        return self.limit_sd * sqrt(self.weight / (2 - self.weight))


CHART_SETTINGS = ChartSettings()


@dataclass(frozen=True, slots=True)
class DriftAlarm:
    """A chart that went out of its limits.

    Attributes:
        subject_kind: "part", "scale" or "bag type".
        subject: Part number, scale or bag type.
        lot: Lot in the weighing that raised it.
        chart: "EWMA" or "CUSUM", whichever was out first (CUSUM when both were).
        row: Row of that weighing.
        since_row: First row of the shift, by the CUSUM's last zero.
        cause: Likely cause, or that the weighings can't tell.
        probability: Of that cause among those compared, 0 to 1.
        shift: By how much: grams for an offset, a share of the weight for a proportion.
        sentence: What happened and what to do.
    """

    subject_kind: str
    subject: str
    lot: str
    chart: str
    row: int
    since_row: int
    cause: DriftCause
    probability: float
    shift: float
    sentence: str


def ewma(values: ArrayLike, *, weight: float, start: float = 0.0) -> Floats:
    """Exponentially weighted moving averages of the values, in the order of time."""
    series = np.asarray(values, dtype=np.float64).tolist()
    averages = accumulate(series, lambda average, value: average + weight * (value - average), initial=start)
    return np.array(list(averages)[1:])


def cusum(values: ArrayLike, *, target: float = 0.0, allowance: float) -> tuple[Floats, Floats]:
    """Upper and lower cumulative sums of the values about a target, in the order of time."""
    off = np.asarray(values, dtype=np.float64) - target
    high = accumulate((off - allowance).tolist(), lambda total, step: max(0.0, total + step), initial=0.0)
    low = accumulate((-off - allowance).tolist(), lambda total, step: max(0.0, total + step), initial=0.0)
    return np.array(list(high)[1:]), np.array(list(low)[1:])


def first_signal(residuals: ArrayLike, settings: ChartSettings = CHART_SETTINGS) -> tuple[int, int, str] | None:
    """Where a series' charts first go out: (index, first index of the shift, chart), None when they don't."""
    z = np.asarray(residuals, dtype=np.float64)
    high, low = cusum(z, allowance=settings.allowance)
    averages = ewma(z, weight=settings.weight)
    cusum_is_out = (high > settings.decision) | (low > settings.decision)
    out = np.flatnonzero(cusum_is_out | (np.abs(averages) > settings.ewma_limit))
    if out.size == 0:
        return None
    at = int(out[0])
    side = high if averages[at] > 0 else low
    zeros = np.flatnonzero(side[: at + 1] == 0)
    since = min(at, int(zeros[-1]) + 1) if zeros.size else 0
    return at, since, "CUSUM" if cusum_is_out[at] else "EWMA"


def drift_alarms(
    *,
    part_numbers: Sequence[str],
    lots: Sequence[str],
    scales: Sequence[str],
    residual_g: ArrayLike,
    expected_g: ArrayLike,
    sd_g: ArrayLike,
    bag_types: Sequence[str] | None = None,
    settings: ChartSettings = CHART_SETTINGS,
) -> tuple[DriftAlarm, ...]:
    """First alarm of every part, scale and bag type, from R weighings of right bags in the order of time.

    A subject that is out stays out until someone acts: pass the weighings since its last sample or adjustment.
    A part that is out because of a scale or bag type already known to be off raises no alarm of its own; a chart that
    is out because of the bags, whosever it is, is the bags' alarm; bags are alarmed where nothing else explains it.

    Args:
        part_numbers: Part of each weighing.
        lots: Its lot.
        scales: Scale it was weighed on.
        residual_g: Net weight less N unit weights, g, shape (R,).
        expected_g: N unit weights, g, above zero, shape (R,).
        sd_g: S.d. of the residual, g, above zero, shape (R,).
        bag_types: Bag type of each weighing, empty where it was tared; None: one type.
        settings: Tuning of the charts.

    Returns:
        Alarms by row, then bag type before part before scale.

    Raises:
        WeighingRefused: columns of unlike length, or a number that can't be.
    """
    weighings = Weighings.of(part_numbers, lots, scales, residual_g, expected_g, sd_g, bag_types)
    z = weighings.residual_g / weighings.sd_g
    alarms: list[tuple[DriftAlarm, tuple[DriftCause, ...]]] = []
    for kind, names, group in (
        ("part", weighings.part_names, weighings.part),
        ("scale", weighings.scale_names, weighings.scale),
        ("bag type", weighings.bag_type_names, weighings.bag_type),
    ):
        order = np.argsort(group, kind="stable")
        if kind == "bag type":
            # What a scale does to all bags says nothing of one type: those it weighed are left out of the bags' chart.
            scales_off = {
                int(weighings.scale[alarm.row])
                for alarm, _ in alarms
                if alarm.cause in (DriftCause.SCALE_ZERO, DriftCause.SCALE_SPAN)
            }
            order = order[~np.isin(weighings.scale[order], sorted(scales_off))]
        if order.size == 0:
            continue
        for rows in np.split(order, np.flatnonzero(np.diff(group[order])) + 1):
            signal = first_signal(z[rows], settings)
            if signal is None:
                continue
            row, since_row = int(rows[signal[0]]), int(rows[signal[1]])
            found = likely_cause(weighings, row, since_row)
            if DriftCause.TARE in found.rivals and z.size > row + 1:
                # Bags and scale look alike at first; what was weighed since tells them apart.
                later = likely_cause(weighings, row, since_row, z.size - 1)
                found = later if later.cause is not DriftCause.CANNOT_TELL else found
            subject_kind, subject = kind, names[group[row]]
            is_of_bags = found.cause is DriftCause.TARE and bool(weighings.bag_type_names[weighings.bag_type[row]])
            if kind == "bag type" and not is_of_bags:
                continue
            if is_of_bags:
                subject_kind, subject = "bag type", weighings.bag_type_names[weighings.bag_type[row]]
            alarm = DriftAlarm(
                subject_kind=subject_kind,
                subject=subject,
                lot=weighings.lot_names[weighings.lot[row]],
                chart=signal[2],
                row=row,
                since_row=since_row,
                cause=found.cause,
                probability=found.probability,
                shift=found.shift,
                sentence=found.sentence,
            )
            alarms.append((alarm, found.rivals))
    alarms.sort(key=lambda entry: (entry[0].row, entry[0].subject_kind))
    return _without_echoes(alarms, weighings)


def _without_echoes(
    alarms: Sequence[tuple[DriftAlarm, tuple[DriftCause, ...]]], weighings: Weighings
) -> tuple[DriftAlarm, ...]:
    """Leave out alarms that a scale or bag type already known to be off would raise by itself."""
    off: set[tuple[str, int]] = set()
    kept = []
    for alarm, rivals in alarms:
        scale = ("scale", int(weighings.scale[alarm.row]))
        culprits = {
            DriftCause.SCALE_ZERO: scale,
            DriftCause.SCALE_SPAN: scale,
            DriftCause.TARE: ("bag type", int(weighings.bag_type[alarm.row])),
        }
        if alarm.subject_kind == "scale" or not any(culprits.get(cause) in off for cause in rivals):
            kept.append(alarm)
        if alarm.subject_kind == "scale" and scale in [culprits.get(cause) for cause in rivals]:
            off.add(scale)
        if alarm.cause in culprits:
            off.add(culprits[alarm.cause])
    return tuple(kept)
