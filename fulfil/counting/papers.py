"""The papers of counting by weight as sheets: a part's unit-weight card, a scale's counting table, drift charts."""

from collections.abc import Sequence
from datetime import date, datetime

import numpy as np
from numpy.typing import NDArray

from fulfil.counting.budgets import ScaleBudget, largest_budgets, worst_words
from fulfil.counting.count_lines import least_tare_u_g, scale_of
from fulfil.counting.drift import Chart, DayDrift
from fulfil.counting.lot_weights import lot_sd_g
from fulfil.counting.reach import Reach, reaches_of
from fulfil.counting.risk_words import risk_statement
from fulfil.counting.scale_checks import usable_scales
from fulfil.errors import StateRefused
from fulfil.papers.bench import counting_table
from fulfil.papers.bench.counting_table import CountingTable, CountingTableSheet
from fulfil.papers.bench.drift_chart import DriftChartSheet
from fulfil.papers.bench.unit_weight_card import (
    CardBudget,
    CardLot,
    CardReach,
    CardSample,
    CardTerm,
    UnitWeightCardSheet,
)
from fulfil.papers.elements.line_chart import ChartLine, LineChart, LineKind
from fulfil.papers.repeated import part_words
from fulfil.papers.sheet import head
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.records.place import Bin
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.weighing import WeighedKind, WeighingRecord
from fulfil.shop.asking import ByNumber, from_books
from fulfil.shop.clock import local_day
from fulfil.standards.nist_hb44 import LEAST_PIECE_E
from fulfil.store.books import Books
from fulfil.weighing.learning.drift import CHART_SETTINGS
from fulfil.weighing.limits import AVERAGE_WORDS
from fulfil.weighing.scale import Scale
from fulfil.weighing.window import largest_count

Floats = NDArray[np.float64]

MOST_SAMPLES = 12
LEAST_SHARE = 0.01
"""A term of a budget that makes less of its variance isn't printed."""
MOST_FREEDOM = 1e6
CHART_SAMPLES = (2, 3, 5, 7, 10, 14, 20, 30, 50, 70, 100, 140, 200, 300, 500, 700, 1000)
SERIES_125 = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500)
TABLE_SAMPLES = (50, 200)
TABLE_SCATTERS = (0.002, 0.005, 0.01, 0.02, 0.05)
MOST_ROWS = 10
LEAST_WEIGHINGS = 3
"""Fewer make no picture."""
_KINDS: tuple[LineKind, ...] = ("heavy", "dashed", "light")
_NOT_FOR_TRADE = (
    "A scale's counting feature is in general not legal for trade; where a count or weight sets a price, local "
    "weights-and-measures law governs."
)


def unit_weight_card_sheet(books: Books, part_number: str, *, day: date) -> UnitWeightCardSheet:
    """A part's card: its lots, what each scale in use can count, the picture, its samples, what to do next."""
    part = books.need(Part, part_number)
    settings = books.settings()
    weights = books.find(UnitWeight, part_number=part_number)
    best = _best(weights)
    tare_sd_g = least_tare_u_g(books.find(BagType))
    scales = [scale for scale in usable_scales(books) if scale.use == "bags"]
    reaches = () if best is None else reaches_of(scales, best, None, settings, tare_sd_g=tare_sd_g)
    samples = books.find(WeighingRecord, subject=part_number, kind=WeighedKind.SAMPLE)
    lots_in_bins = sorted({place.lot for place in books.find(Bin, part_number=part_number)})
    return UnitWeightCardSheet(
        **head(settings, part_number, day),
        **part_words(part),
        lots=tuple(_lot(weight) for weight in weights),
        reaches=tuple(
            CardReach(scale=one.scale_code, interval_g=one.d_g, most=one.after, why_not=one.why_not) for one in reaches
        ),
        samples=tuple(_sample(one, settings) for one in reversed(samples[-MOST_SAMPLES:])),
        older_samples=max(0, len(samples) - MOST_SAMPLES),
        chart=None if best is None or not best.may_accept else reach_chart(best, scales, settings, tare_sd_g),
        advice=_advice(weights, lots_in_bins, reaches),
        risk_statement=f"{risk_statement(settings)} Both {AVERAGE_WORDS['fresh samples']}.",
        budgets=() if best is None else tuple(map(_budget, largest_budgets(books, best, reaches))),
    )


def _budget(one: ScaleBudget) -> CardBudget:
    budget = one.budget
    terms = sorted((term for term in budget.terms if budget.share(term) >= LEAST_SHARE), key=lambda term: -term.u_g)
    freedom = f" with {budget.freedom:.0f} effective degrees of freedom" if budget.freedom < MOST_FREEDOM else ""
    return CardBudget(
        scale=one.scale_code,
        pieces=budget.pieces,
        terms=tuple(
            CardTerm(
                term=term.name, u=f"{term.u_g:.2g} g", share=f"{budget.share(term) * 100:.0f} %", shrink=term.remedy
            )
            for term in terms
        ),
        says=f"Together {budget.u_g:.2g} g{freedom}; terms below one percent are left out. {worst_words(one.worst)}.",
    )


def reach_chart(
    weight: UnitWeight, scales: Sequence[ScaleRecord], settings: Settings, tare_sd_g: float
) -> LineChart | None:
    """Largest count against sample size, one line a scale; the sample that there is, ringed."""
    sizes = np.array(CHART_SAMPLES, dtype=float)
    lines, rings = [], []
    for kind, record in zip(_KINDS, sorted(scales, key=lambda one: (one.d_g, one.code)), strict=False):
        scale = scale_of(record)

        def counts(samples: Floats, scale: Scale = scale) -> Floats:
            return _most(weight, scale, samples, settings, tare_sd_g)

        found = counts(sizes)
        points = tuple((n, float(found[place])) for place, n in enumerate(CHART_SAMPLES) if found[place] > 0)
        if points:
            lines.append(ChartLine(label=f"{record.code}, d = {record.d_g} g", points=points, kind=kind))
            known = _equal_sample(weight)
            if counts(np.array([known]))[0] > 0:
                rings.append((known, float(counts(np.array([known]))[0])))
    if not lines:
        return None
    highest = max(y for line in lines for _, y in line.points)
    ticks = (0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1e3, 2e3, 5e3, 1e4, 1e5, 1e6)
    last = next((index for index, tick in enumerate(ticks) if tick >= highest), len(ticks) - 1)
    lowest = min(y for line in lines for _, y in line.points)
    first = max(index for index, tick in enumerate(ticks) if tick <= lowest)
    return LineChart(
        x_label="pieces in the sample (ringed: as well as it is known now)",
        y_label="largest count",
        x_ticks=(2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0),
        y_ticks=ticks[min(first, last - 1) : last + 1],
        lines=tuple(lines),
        rings=tuple(rings),
        is_log=True,
    )


def counting_table_sheets(books: Books, *, day: date) -> tuple[CountingTableSheet, ...]:
    """One page for each scale for bags that is in use, finest first."""
    settings = books.settings()
    tare_sd_g = least_tare_u_g(books.find(BagType))
    scales = sorted((one for one in usable_scales(books) if one.use == "bags"), key=lambda one: (one.d_g, one.code))
    return tuple(_counting_table(scale, settings, tare_sd_g, day) for scale in scales)


def need_counting_tables(books: Books, *, day: date) -> tuple[CountingTableSheet, ...]:
    """The same, of a shop that has such a scale.

    Raises:
        StateRefused: it has none.
    """
    found = counting_table_sheets(books, day=day)
    if not found:
        raise StateRefused("print the counting tables of", "the shop", "a scale for bags that may be used")
    return found


def drift_chart_sheets(drift: DayDrift) -> tuple[DriftChartSheet, ...]:
    """The day's charts: those that are out first."""
    ordered = sorted(drift.charts, key=lambda chart: chart.alarm_at is None)
    return tuple(_drift_chart(chart) for chart in ordered)


def _best(weights: Sequence[UnitWeight]) -> UnitWeight | None:
    """The unit weight that the card's counts are for: the one known best, ties by the later lot."""
    return max(weights, key=lambda one: (one.may_accept, -one.u_g / one.mean_g, one.lot), default=None)


def _equal_sample(weight: UnitWeight) -> float:
    """The sample that would know the mean as well as it is known now: σ²/u², which learning makes larger."""
    if weight.u_g <= 0.0 or weight.piece_sd_g <= 0.0:
        return float(max(2, weight.sample_pieces))
    return min(1000.0, max(2.0, (weight.piece_sd_g / weight.u_g) ** 2))


def _most(weight: UnitWeight, scale: Scale, sizes: Floats, settings: Settings, tare_sd_g: float) -> Floats:
    load_g = 50.0 * weight.mean_g
    reading_u_g = float(scale.net_window_u_g(load_g))
    capacity_g = float(scale.capacity_g)
    found = largest_count(
        unit_weight_g=weight.mean_g,
        unit_weight_u_g=np.sqrt(weight.piece_sd_g**2 / sizes + (reading_u_g / sizes) ** 2),
        piece_sd_g=weight.piece_sd_g,
        indication_u_g=float(scale.window_u_g(load_g)),
        tare_u_g=tare_sd_g,
        risk_pass=settings.risk_pass,
        risk_reject=settings.risk_reject,
    )
    return np.minimum(np.asarray(found, dtype=np.float64), float(int(capacity_g / weight.mean_g)))


def _lot(weight: UnitWeight) -> CardLot:
    source = f"sample of {weight.sample_pieces} pieces" if weight.source is WeightSource.SAMPLED else weight.source
    parts = [source if weight.may_accept else f"{source}: for planning only, never to pass a bag"]
    if weight.learned_n:
        parts.append(f"{weight.learned_n} bag{'s' if weight.learned_n != 1 else ''} learned from")
    if weight.piece_sd_source:
        parts.append(f"piece s.d. from {weight.piece_sd_source}")
    if weight.as_of:
        parts.append(f"as of {weight.as_of:%Y-%m-%d}")
    return CardLot(
        lot=weight.lot,
        unit_weight=f"{_grams(weight.mean_g, weight.u_g)} g",
        uncertainty=f"{weight.u_g:.2g} g",
        piece_sd=f"{weight.piece_sd_g:.2g} g",
        how=", ".join(parts),
    )


def _grams(mean_g: float, u_g: float) -> str:
    """The mean to the second digit of its uncertainty (JCGM 100:2008, 7.2.6)."""
    if u_g <= 0.0:
        return f"{mean_g:.6g}"
    return f"{mean_g:.{min(9, max(0, 1 - int(np.floor(np.log10(u_g)))))}f}"


def _sample(one: WeighingRecord, settings: Settings) -> CardSample:
    return CardSample(
        day=local_day(one.at, settings),
        lot=one.lot,
        pieces=one.pieces,
        gross_g=one.indication_g,
        tare_g=one.tare_g,
        scale=one.scale_code,
    )


def _advice(weights: Sequence[UnitWeight], lots_in_bins: Sequence[str], reaches: Sequence[Reach]) -> tuple[str, ...]:
    if not any(weight.may_accept for weight in weights):
        return ("Sample first: count 50 pieces out by hand, weigh them together, ten more one by one.",)
    known = {weight.lot for weight in weights}
    advice = [
        f"Sample lot {lot}: it is in a bin, and nobody has weighed it."
        for lot in lots_in_bins
        if lot not in known and "" not in known
    ]
    if all(one.after == 0 for one in reaches):
        advice.append("Count this part by hand: no scale in use resolves it.")
    for weight in weights:
        if weight.lot_sd_g > 2 * lot_sd_g(revised(weight, {"lot_sd_g": 0.0})):
            advice.append(f"Lots differ by {weight.lot_sd_g / weight.mean_g * 100:.1f} %: sample at every lot change.")
            break
    return tuple(advice)


def _counting_table(record: ScaleRecord, settings: Settings, tare_sd_g: float, day: date) -> CountingTableSheet:
    scale = scale_of(record)
    least_g = max(float(record.d_g), LEAST_PIECE_E * float(record.e_g))
    units = [unit for unit in SERIES_125 if least_g <= unit <= float(record.max_g) / 5][:MOST_ROWS]
    tables = []
    for n in TABLE_SAMPLES:
        rows = []
        for unit in units:
            load_g = min(float(record.max_g), n * unit)
            reading_u_g = float(scale.net_window_u_g(load_g))
            spread = np.array(TABLE_SCATTERS) * unit
            most = largest_count(
                unit_weight_g=unit,
                unit_weight_u_g=np.sqrt(spread**2 / n + (reading_u_g / n) ** 2),
                piece_sd_g=spread,
                indication_u_g=float(scale.window_u_g(load_g)),
                tare_u_g=tare_sd_g,
                risk_pass=settings.risk_pass,
                risk_reject=settings.risk_reject,
            )
            most = np.minimum(most, int(float(record.max_g) / unit))
            rows.append((f"{unit:g} g", tuple(str(int(one)) if one else "–" for one in most)))
        tables.append(
            CountingTable(sample_pieces=n, scatters=tuple(f"{c * 100:.1f} %" for c in TABLE_SCATTERS), rows=tuple(rows))
        )
    return CountingTableSheet(
        **head(settings, counting_table.NUMBERED.number(record.code), day),
        scale=record.code,
        plate=(
            f"class {record.accuracy_class}, e = {record.e_g} g, d = {record.d_g} g, "
            f"Max {record.max_g} g, Min {record.min_g} g"
        ),
        tables=tuple(tables),
        rules=(
            f"A piece lighter than {least_g:g} g is never counted by weight here; a net load below "
            f"{record.min_g} g is not weighed.",
            "Each shift: level, clean pan, still air, zero, check weight (fulfil scales check).",
            "Mix the bin, sample the bin that is picked from, and again at every new lot.",
            "–: count by hand. More than the figure: split into equal bags, or take a larger sample.",
        ),
        risk_statement=f"{risk_statement(settings)} Both {AVERAGE_WORDS['fresh samples']}; the bag isn't weighed "
        f"empty: its type's weight is taken off (standard uncertainty {tare_sd_g:.2g} g).",
        cautions=(_NOT_FOR_TRADE,),
    )


def _drift_chart(chart: Chart) -> DriftChartSheet:
    lot = f", lot {chart.lot}" if chart.lot else ""
    heading = f"Scale {chart.subject}" if chart.subject_kind == "scale" else f"Part {chart.subject}{lot}"
    n = len(chart.residuals)
    sentence = chart.sentence or f"Quiet over {n} weighings: nothing has drifted that this chart can see."
    if n < LEAST_WEIGHINGS:
        return DriftChartSheet(
            heading=heading, sentence=sentence, is_out=chart.alarm_at is not None, average=None, sums=None
        )
    x_ticks = _ticks(n)
    limit, decision = CHART_SETTINGS.ewma_limit, CHART_SETTINGS.decision
    average = LineChart(
        x_label="weighings in the order of time",
        y_label="s.d.",
        x_ticks=x_ticks,
        y_ticks=(-4.0, -2.0, 0.0, 2.0, 4.0),
        lines=(
            ChartLine(label="each", points=_points(chart.residuals), kind="dots"),
            ChartLine(label="moving average", points=_points(chart.ewma)),
            ChartLine(label="limits", points=((1.0, limit), (float(n), limit)), kind="dashed"),
            ChartLine(label="", points=((1.0, -limit), (float(n), -limit)), kind="dashed"),
        ),
        rings=_rings(chart, chart.ewma),
    )
    highest = max(decision * 1.5, *chart.cusum_high, *chart.cusum_low)
    step = 4.0 if highest <= 12 else 10.0 if highest <= 40 else 50.0 if highest <= 200 else 500.0
    side = chart.cusum_high if chart.alarm_at is None or chart.ewma[chart.alarm_at] > 0 else chart.cusum_low
    sums = LineChart(
        x_label="weighings in the order of time",
        y_label="sum, s.d.",
        x_ticks=x_ticks,
        y_ticks=tuple(np.arange(0.0, highest + step, step).tolist()),
        lines=(
            ChartLine(label="too heavy", points=_points(chart.cusum_high)),
            ChartLine(label="too light", points=_points(chart.cusum_low), kind="light"),
            ChartLine(label="limit", points=((1.0, decision), (float(n), decision)), kind="dashed"),
        ),
        rings=_rings(chart, side),
    )
    return DriftChartSheet(
        heading=heading, sentence=sentence, is_out=chart.alarm_at is not None, average=average, sums=sums
    )


def _points(values: Sequence[float]) -> tuple[tuple[float, float], ...]:
    return tuple((float(index), value) for index, value in enumerate(values, start=1))


def _rings(chart: Chart, values: Sequence[float]) -> tuple[tuple[float, float], ...]:
    return () if chart.alarm_at is None else ((chart.alarm_at + 1.0, values[chart.alarm_at]),)


def _ticks(n: int) -> tuple[float, ...]:
    """About five whole ticks from 0 to n or just above."""
    step = next(step for step in (1, 2, 5, 10, 20, 50, 100, 200, 500, 10**3, 10**4, 10**5) if n <= 8 * step)
    return tuple(float(tick) for tick in range(0, n + step, step))


def _table_of(books: Books, scale: ScaleRecord, at: datetime) -> list[CountingTableSheet]:
    return [one for one in counting_table_sheets(books, day=at.date()) if one.scale == scale.code]


BY_NUMBER = (
    ByNumber(
        UnitWeightCardSheet, Part, lambda books, part, at: (unit_weight_card_sheet(books, part.number, day=at.date()),)
    ),
    ByNumber(CountingTableSheet, ScaleRecord, _table_of),
)
BY_NAME = (from_books(CountingTableSheet, lambda books, at: need_counting_tables(books, day=at.date())),)
