"""Drift charts of a day: has a part's weight or a scale changed, why, and what to do about it.

A part's chart runs from its lot's last sample on, through all days; a scale's chart over the day alone, because its
check-weight test begins each day anew. Residuals are innovations (:mod:`fulfil.weighing.learning.innovation`), so that
a small sample is no drift. A type of bag has the day's chart too. An alarm of a scale, a part or a bag type stands
until somebody acts on it, a part's also until its lot is sampled again (:mod:`fulfil.counting.scale_alarms`,
:mod:`fulfil.counting.goods_alarms`); meanwhile nothing is learned from what was weighed since the change.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime

import numpy as np

from fulfil.counting.goods_alarms import is_out, standing_goods, was_acted_on
from fulfil.counting.lot_weights import estimate_of
from fulfil.counting.passed_bags import KnownCount, KnownCounts, known_counts
from fulfil.counting.scale_alarms import is_under_alarm
from fulfil.records.finding import Finding
from fulfil.records.part import UnitWeight
from fulfil.records.revised import revised
from fulfil.records.weighing import AlarmedGoods, GoodsAlarm, ScaleAlarm
from fulfil.store.books import Books
from fulfil.weighing.learning.drift import CHART_SETTINGS, DriftAlarm, cusum, drift_alarms, ewma
from fulfil.weighing.learning.drift_cause import DriftCause
from fulfil.weighing.learning.innovation import innovations

SCALE_CAUSES = (DriftCause.SCALE_ZERO, DriftCause.SCALE_SPAN, DriftCause.TARE)


@dataclass(frozen=True)
class Chart:
    """The chart of one part's lot or one scale: standardised residuals in the order of time, and both curves.

    ``alarm_at`` and ``since`` count weighings from 0; None where the chart is quiet.
    """

    subject_kind: str
    subject: str
    lot: str
    residuals: tuple[float, ...]
    ewma: tuple[float, ...]
    cusum_high: tuple[float, ...]
    cusum_low: tuple[float, ...]
    alarm_at: int | None = None
    since: int | None = None
    sentence: str = ""


@dataclass(frozen=True)
class DayDrift:
    """Alarms of the day with their findings, the charts of all scales, and those of the parts that are out.

    ``part_out_since`` (by part and lot), ``scale_out_since`` and ``bags_out_since`` say from which weighing on each is
    taken to be off. ``standing`` are alarms of scales of earlier days that nobody has acted on, ``standing_goods``
    those of parts and bag types.
    Today ``n`` weighings of ``parts`` parts were charted.
    """

    alarms: tuple[DriftAlarm, ...]
    charts: tuple[Chart, ...]
    part_out_since: dict[tuple[str, str], datetime]
    scale_out_since: dict[str, datetime]
    n: int
    parts: int
    standing: tuple[ScaleAlarm, ...] = ()
    bags_out_since: dict[str, datetime] = field(default_factory=dict)
    standing_goods: tuple[GoodsAlarm, ...] = ()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The alarms as things to do: what happened with its likely cause, and what to do about it."""
        found = []
        for alarm in self.alarms:
            says, _, do = alarm.sentence.partition(". ")
            found.append(
                Finding(
                    source=f"{alarm.subject_kind} {alarm.subject}",
                    line=None,
                    field="drift",
                    value=alarm.cause.value,
                    says=says,
                    do=do.rstrip(".") or "sample the bin again",
                )
            )
        today = {alarm.subject for alarm in self.alarms if alarm.subject_kind == "scale"}
        for old in self.standing:
            if old.scale_code not in today:
                found.append(
                    Finding(
                        source=f"scale {old.scale_code}",
                        line=None,
                        field="drift",
                        value="not acted on",
                        says=f"{old.says.rstrip('.')}: off since {old.since:%Y-%m-%d}, and nobody said what was done",
                        do=f"{old.do or 'try the check weights'}; then fulfil scales acted-on {old.scale_code}",
                    )
                )
        told = {
            (alarm.subject_kind, alarm.subject, alarm.lot * (alarm.subject_kind == "part")) for alarm in self.alarms
        }
        for kept in self.standing_goods:
            if (kept.kind, kept.subject, kept.lot) in told:
                continue
            is_part = kept.kind is AlarmedGoods.PART
            lot = f" --lot {kept.lot}" if kept.lot else ""
            then = f"fulfil {'parts' if is_part else 'bags'} acted-on {kept.subject}{lot}"
            found.append(
                Finding(
                    source=f"{kept.kind} {kept.subject}",
                    line=None,
                    field="drift",
                    value="not acted on",
                    says=f"{kept.says.rstrip('.')}: off since {kept.since:%Y-%m-%d}, and nobody said what was done",
                    do=f"{kept.do.rstrip('.') or 'sample its bin again'}; then {then}",
                )
            )
        return tuple(found)


@dataclass(frozen=True)
class _Residual:
    known: KnownCount
    residual_g: float
    expected_g: float
    sd_g: float

    @property
    def z(self) -> float:
        return self.residual_g / self.sd_g


def drift_of_day(books: Books, day: date) -> DayDrift:
    """The drift charts and alarms of a day."""
    return drift_of(known_counts(books, day), books.find(ScaleAlarm), books.find(GoodsAlarm), standing_goods(books))


def drift_of(
    known: KnownCounts,
    scale_alarms_kept: Sequence[ScaleAlarm] = (),
    goods_alarms: Sequence[GoodsAlarm] = (),
    goods_standing: Sequence[GoodsAlarm] = (),
) -> DayDrift:
    """As :func:`drift_of_day`, of weighings that were read already.

    What a scale weighed on earlier days while its alarm stood says nothing of a part, nor what was weighed of goods
    whose alarm was acted on since, nor in bags that are known to be off.
    """
    bags_standing = [one for one in goods_standing if one.kind is AlarmedGoods.BAG_TYPE]
    kept = [
        one
        for one in known.weighings
        if (
            one.is_of_day
            or not (is_under_alarm(scale_alarms_kept, one.scale_code, one.at) or is_out(bags_standing, one))
        )
        and not was_acted_on(goods_alarms, one)
    ]
    residuals = _residuals(replace(known, weighings=tuple(kept)))
    today = [one for one in residuals if one.known.is_of_day]
    of_today = _alarms(today)
    scale_alarms = [alarm for alarm in of_today if alarm.subject_kind == "scale"]
    off = {alarm.subject for alarm in scale_alarms}
    of_all = _alarms(residuals)
    bags_since = {
        alarm.subject: (alarm, rows[alarm.since_row].known.at)
        for alarms, rows in ((of_all, residuals), (of_today, today))
        for alarm in alarms
        if alarm.subject_kind == "bag type"
    }
    part_alarms = [
        alarm
        for alarm in of_all
        if alarm.subject_kind == "part"
        # A part that is off because its scale or bag type is has no alarm of its own.
        and not (alarm.cause in SCALE_CAUSES and residuals[alarm.row].known.scale_code in off)
        and not (alarm.cause is DriftCause.TARE and residuals[alarm.row].known.bag_type in bags_since)
    ]
    out = {(alarm.subject, alarm.lot) for alarm in part_alarms}
    follows = {alarm.subject: parts for alarm in scale_alarms if (parts := _told_by_parts(alarm, today, out))}
    scale_alarms = [alarm for alarm in scale_alarms if alarm.subject not in follows]
    alarm_of = {alarm.subject: alarm for alarm in scale_alarms}
    by_scale: dict[str, list[_Residual]] = defaultdict(list)
    for one in today:
        by_scale[one.known.scale_code].append(one)
    by_lot: dict[tuple[str, str], list[_Residual]] = defaultdict(list)
    for one in residuals:
        by_lot[one.known.part_number, one.known.lot].append(one)
    charts = [
        _chart("scale", code, "", rows, today, alarm_of.get(code), _follows(follows.get(code, ())))
        for code, rows in sorted(by_scale.items())
    ]
    for alarm in part_alarms:
        rows = by_lot[alarm.subject, alarm.lot]
        charts.append(_chart("part", alarm.subject, alarm.lot, rows, residuals, alarm))
    return DayDrift(
        alarms=(*scale_alarms, *(alarm for alarm, _ in bags_since.values()), *part_alarms),
        charts=tuple(charts),
        part_out_since={(alarm.subject, alarm.lot): residuals[alarm.since_row].known.at for alarm in part_alarms},
        scale_out_since={alarm.subject: today[alarm.since_row].known.at for alarm in scale_alarms},
        n=len(today),
        parts=len({one.known.part_number for one in today}),
        standing=tuple(alarm for alarm in scale_alarms_kept if alarm.acted_at is None),
        bags_out_since={subject: since for subject, (_, since) in bags_since.items()},
        standing_goods=tuple(goods_standing),
    )


def sample_of(record: UnitWeight) -> UnitWeight:
    """The unit weight as its sample alone gave it, before the shop's weighings moved it."""
    if record.sample_mean_g is None or record.sample_u_g is None or record.sample_sd_g is None:
        return record
    found = {"mean_g": record.sample_mean_g, "u_g": record.sample_u_g, "piece_sd_g": record.sample_sd_g}
    return revised(record, found)


def _told_by_parts(alarm: DriftAlarm, today: list[_Residual], out: set[tuple[str, str]]) -> tuple[str, ...]:
    """The parts that were weighed on a scale since, if all are out themselves: one thing to do, not two. Else none."""
    since = [one for one in today[alarm.since_row :] if one.known.scale_code == alarm.subject]
    lots = {(one.known.part_number, one.known.lot) for one in since}
    is_told = alarm.cause is DriftCause.CANNOT_TELL and lots <= out
    return tuple(sorted({part for part, _ in lots})) if is_told else ()


def _follows(parts: tuple[str, ...]) -> str:
    """What a scale's chart says of an alarm that its parts tell already; nothing where there is none.

    >>> _follows(("PIN-08",))
    'Off only where PIN-08 was weighed, which is off itself: do what is said there.'
    """
    if not parts:
        return ""
    weighed = "was weighed, which is off itself" if len(parts) == 1 else "were weighed, which are off themselves"
    return f"Off only where {' and '.join(parts)} {weighed}: do what is said there."


def _residuals(known: KnownCounts) -> list[_Residual]:
    """The innovation of every weighing of a sampled part, in the order of time."""
    lots: dict[tuple[str, str], list[int]] = defaultdict(list)
    for row, one in enumerate(known.weighings):
        lots[one.part_number, one.lot].append(row)
    found: dict[int, _Residual] = {}
    for (part_number, lot), rows in lots.items():
        weight = known.weight(part_number, lot)
        if weight is None or not weight.record.may_accept:
            continue
        start = weight.estimate if weight.note else estimate_of(sample_of(weight.record))
        counts = [known.weighings[row] for row in rows]
        chart = innovations(
            [one.pieces for one in counts],
            [one.net_g for one in counts],
            [one.noise_u_g for one in counts],
            unit_weight_g=start.mean_g,
            unit_weight_u_g=start.u_g,
            piece_sd_g=start.piece_sd_g,
        )
        for row, one, residual, expected, sd in zip(
            rows, counts, chart.residual_g, chart.expected_g, chart.sd_g, strict=True
        ):
            found[row] = _Residual(one, residual, expected, sd)
    return [found[row] for row in sorted(found)]


def _alarms(residuals: list[_Residual]) -> tuple[DriftAlarm, ...]:
    if not residuals:
        return ()
    return drift_alarms(
        part_numbers=[one.known.part_number for one in residuals],
        lots=[one.known.lot for one in residuals],
        scales=[one.known.scale_code for one in residuals],
        bag_types=[one.known.bag_type for one in residuals],
        residual_g=[one.residual_g for one in residuals],
        expected_g=[one.expected_g for one in residuals],
        sd_g=[one.sd_g for one in residuals],
    )


def _chart(
    kind: str,
    subject: str,
    lot: str,
    rows: list[_Residual],
    of: list[_Residual],
    alarm: DriftAlarm | None,
    otherwise: str = "",
) -> Chart:
    z = np.array([one.z for one in rows])
    high, low = cusum(z, allowance=CHART_SETTINGS.allowance)
    place = {id(one): index for index, one in enumerate(rows)}
    return Chart(
        subject_kind=kind,
        subject=subject,
        lot=lot,
        residuals=tuple(z.tolist()),
        ewma=tuple(ewma(z, weight=CHART_SETTINGS.weight).tolist()),
        cusum_high=tuple(high.tolist()),
        cusum_low=tuple(low.tolist()),
        alarm_at=None if alarm is None else place.get(id(of[alarm.row])),
        since=None if alarm is None else place.get(id(of[alarm.since_row])),
        sentence=otherwise if alarm is None else alarm.sentence,
    )
