"""The end of the day: unit weights learn from the bags that passed.

Learned from: the samples, every bag that passed its window, every bag whose count a person proved by hand
(:mod:`fulfil.counting.passed_bags`); never a bag that failed. The window's selection is corrected for, lots are random
effects, everything is worked out from the recorded facts each time, so learning twice is learning once
(:mod:`fulfil.weighing.learning.learning`). Not learned from: a lot or scale whose
drift chart is out, from the change on; and a lot that nobody sampled
(its weighings still say how far lots differ).

A piece s.d. that a file gave is worth as many single weighings against the shop's own as windows take it for
(:data:`fulfil.counting.lot_weights.GIVEN_SD_FREEDOM`).
"""

from collections import Counter
from dataclasses import dataclass
from datetime import date, datetime
from math import sqrt

from fulfil.counting.drift import DayDrift, drift_of, sample_of
from fulfil.counting.goods_alarms import is_out, keep_goods_alarms, standing_goods
from fulfil.counting.lot_weights import GIVEN_SD_FREEDOM
from fulfil.counting.passed_bags import KnownCount, KnownCounts, known_counts
from fulfil.counting.scale_alarms import is_under_alarm, keep_alarms
from fulfil.records.happening import Happening
from fulfil.records.part import UnitWeight
from fulfil.records.revised import revised
from fulfil.records.weighing import AlarmedGoods, GoodsAlarm, ScaleAlarm
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.weighing.learning.learning import Learned, learn
from fulfil.weighing.learning.prior import LEARNING_PRIOR, LearningPrior

NO_LEAST_SD = 1e-6
"""Share of the unit weight that stands for a piece s.d. given as zero."""


@dataclass(frozen=True)
class LearnedWeight:
    """A unit weight before and after, and how many bags it has learned from since its sample."""

    before: UnitWeight
    after: UnitWeight
    n: int


@dataclass(frozen=True)
class LearnedDay:
    """What a day taught: the weights that changed, weighings used, left out because a chart is out, and the drift."""

    weights: tuple[LearnedWeight, ...]
    n: int
    left_out: int
    drift: DayDrift


def learn_day(shop: Shop, *, day: date, at: datetime, person: str, is_simulated: bool = False) -> LearnedDay:
    """Learns from the parts on a day's walks and writes their unit weights; charts that are out come with it."""
    with shop.writing() as books:
        known = known_counts(books, day)
        drift = drift_of(known, books.find(ScaleAlarm), books.find(GoodsAlarm), standing_goods(books))
        keep_alarms(books, _scales_out(drift), at=at)
        keep_goods_alarms(books, _goods_out(drift, at))
        alarms, goods = books.find(ScaleAlarm), _still_out(books)
        used = [
            one
            for one in known.weighings
            if _is_learned_from(one, known, drift)
            and not is_under_alarm(alarms, one.scale_code, one.at)
            and not is_out(goods, one)
        ]
        changed = _changed(used, known, day) if used else []
        books.replace([one.after for one in changed])
        books.journal(
            at=at,
            person=person,
            event=Happening.UNIT_WEIGHTS_LEARNED,
            subject=str(day),
            particulars={
                "weighings": len(used),
                "left_out": len(known.weighings) - len(used),
                "unit_weights": len(changed),
                "alarms": [alarm.sentence for alarm in drift.alarms],
            },
            is_simulated=is_simulated,
        )
    return LearnedDay(tuple(changed), len(used), len(known.weighings) - len(used), drift)


def _scales_out(drift: DayDrift) -> list[tuple[str, datetime, str, str]]:
    """The scales that the day's charts find off, each from when on, with what is said and what to do."""
    return [
        (alarm.subject, drift.scale_out_since[alarm.subject], *alarm.sentence.partition(". ")[::2])
        for alarm in drift.alarms
        if alarm.subject_kind == "scale"
    ]


def _goods_out(drift: DayDrift, at: datetime) -> list[GoodsAlarm]:
    """The parts and bag types that the day's charts find off, each from when on."""
    found = []
    for alarm in drift.alarms:
        says, _, do = alarm.sentence.partition(". ")
        if alarm.subject_kind == "part":
            since, kind, lot = drift.part_out_since[alarm.subject, alarm.lot], AlarmedGoods.PART, alarm.lot
        elif alarm.subject_kind == "bag type":
            since, kind, lot = drift.bags_out_since[alarm.subject], AlarmedGoods.BAG_TYPE, ""
        else:
            continue
        found.append(
            GoodsAlarm(kind=kind, subject=alarm.subject, lot=lot, since=since, said_at=at, says=says[:200], do=do[:200])
        )
    return found


def _still_out(books: Books) -> list[GoodsAlarm]:
    """Alarms of goods that weighings stand under: those acted on, and those that stand; a new sample ends a part's."""
    acted = [one for one in books.find(GoodsAlarm) if one.acted_at is not None]
    return [*acted, *standing_goods(books)]


def _is_learned_from(one: KnownCount, known: KnownCounts, drift: DayDrift) -> bool:
    weight = known.weight(one.part_number, one.lot)
    if weight is None or not weight.record.may_accept:
        return False
    part_since = drift.part_out_since.get((one.part_number, one.lot), one.at)
    scale_since = drift.scale_out_since.get(one.scale_code, one.at)
    has_drifted = (one.part_number, one.lot) in drift.part_out_since and one.at >= part_since
    return not has_drifted and not (one.scale_code in drift.scale_out_since and one.at >= scale_since)


def _changed(used: list[KnownCount], known: KnownCounts, day: date) -> list[LearnedWeight]:
    """The unit weights of the sampled lots that were weighed, by part and lot."""
    parts = sorted({one.part_number for one in used})
    samples = [sample_of(one) for part in parts for one in known.unit_weights[part] if one.may_accept]
    learned = learn(
        [*(one.part_number for one in samples), *(one.part_number for one in used)],
        [*(one.lot for one in samples), *(_lot_of(one, known) for one in used)],
        [*(one.sample_pieces for one in samples), *(one.pieces for one in used)],
        [*(one.sample_pieces * one.mean_g for one in samples), *(one.net_g for one in used)],
        [*(_sample_noise_g(one) for one in samples), *(one.noise_u_g for one in used)],
        window_centre_g=[*(one.sample_pieces * one.mean_g for one in samples), *(one.centre_g for one in used)],
        window_half_width_g=[*(float("inf") for _ in samples), *(one.half_width_g for one in used)],
        part_priors={part: _prior(known.unit_weights[part]) for part in parts},
    )
    n_of = Counter((one.part_number, _lot_of(one, known)) for one in used)
    return [
        LearnedWeight(record, _after(record, learned, n_of[part, record.lot], day), n_of[part, record.lot])
        for part in parts
        for record in known.unit_weights[part]
        if n_of[part, record.lot] and record.may_accept
    ]


def _lot_of(one: KnownCount, known: KnownCounts) -> str:
    """The lot of the unit weight that a weighing teaches; None of the shop's for a lot that nobody sampled."""
    own = {weight.lot for weight in known.unit_weights[one.part_number]}
    return one.lot if one.lot in own else "" if "" in own else one.lot


def _sample_noise_g(sample: UnitWeight) -> float:
    """The reading's part of a sample's uncertainty: n² u² = n σ² + s²."""
    n = sample.sample_pieces
    return sqrt(max(0.0, (n * sample.u_g) ** 2 - n * sample.piece_sd_g**2))


def _prior(weights: tuple[UnitWeight, ...]) -> LearningPrior:
    """What the samples say of scatter: the s.d. known best, its freedom, and the spread of lots."""
    sampled = [sample_of(one) for one in weights if one.may_accept]
    best = max(sampled, key=lambda one: (one.piece_sd_freedom or GIVEN_SD_FREEDOM, one.lot))
    return LearningPrior(
        piece_sd_relative=max(best.piece_sd_g / best.mean_g, NO_LEAST_SD),
        piece_sd_df=best.piece_sd_freedom or GIVEN_SD_FREEDOM,
        # The s.d. already learned holds the same weighings: the prior stays that of the file.
        lot_sd_relative=LEARNING_PRIOR.lot_sd_relative,
    )


def _after(record: UnitWeight, learned: Learned, n: int, day: date) -> UnitWeight:
    found = learned.unit_weight(record.part_number, record.lot)
    sample = sample_of(record)
    freedom = record.piece_sd_freedom
    if freedom is not None and found.piece_sd_u_g > 0.0:
        # u(σ)/σ = 1/√(2ν), JCGM 100:2008, E.4.3.
        freedom = max(freedom, 0.5 * (found.piece_sd_g / found.piece_sd_u_g) ** 2)
    return revised(
        record,
        {
            "mean_g": found.unit_weight_g,
            "u_g": found.unit_weight_u_g,
            "piece_sd_g": found.piece_sd_g,
            "piece_sd_freedom": freedom,
            "lot_sd_g": found.lot_sd_g,
            "as_of": day,
            "sample_mean_g": sample.mean_g,
            "sample_u_g": sample.u_g,
            "sample_sd_g": sample.piece_sd_g,
            "learned_n": n,
        },
    )
