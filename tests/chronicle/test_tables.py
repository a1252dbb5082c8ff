"""Judges of figures, in tables: which way of counting each mass and count takes, on which bench."""

from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any

from fulfil.counting.count_lines import Bench, Counted, bench_of, count_line
from fulfil.counting.drift import drift_of
from fulfil.counting.lot_weights import weight_for_lot
from fulfil.counting.papers import reach_chart
from fulfil.counting.passed_bags import KnownCount, KnownCounts
from fulfil.counting.reach import reaches_of
from fulfil.counting.worth_sampling import seconds_of
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.place import ElementKind, RoomElement, Side
from fulfil.records.revised import revised
from fulfil.records.settings import Settings
from fulfil.records.weighing import ScaleAlarm
from fulfil.walks.floor import floor_of
from fulfil.walks.turns import approaches
from fulfil.weighing.count_times import CountTimes
from fulfil.weighing.worst_sample import chance_words
from tests.chronicle.telling import as_recorded, lines_of
from tests.counting.weighing.steps import BENCH, FINE, LARGE, SMALL, part

MASSES_G = (0.006, 0.05, 0.3, 0.9, 5.0, 40.0)
PIECES = (1, 7, 40, 150, 410, 1500)
SAMPLED: dict[str, Any] = {"sample_pieces": 100, "source": WeightSource.SAMPLED, "u": 0.0005, "sd": 0.008}
KINDS: Mapping[str, dict[str, Any]] = {
    "sampled": SAMPLED,
    "drawing": {"sample_pieces": 0, "source": WeightSource.GEOMETRY, "u": 0.05, "sd": 0.005},
    "of another lot": {**SAMPLED, "lot": "L1", "as_of": date(2026, 3, 1)},
    "doubtful": {**SAMPLED, "count_doubt": 0.4},
    "uneven": {**SAMPLED, "sd": 0.08},
}
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
FAST = CountTimes(piece_s=0.2, weighing_s=30.0)
BENCHES: Mapping[str, Bench] = {
    "both": bench_of([FINE, BENCH], [SMALL, LARGE], Settings()),
    "coarse": bench_of([BENCH], [LARGE, SMALL], Settings(), bias_shares={"BENCH": 0.25}),
    "fine, quick hands": bench_of([FINE], [SMALL, LARGE], Settings(), times=FAST),
    "one bag a line": bench_of([FINE, BENCH], [SMALL, LARGE], Settings(most_bags_per_line=1)),
}


def weight(mean_g: float, kind: Mapping[str, Any]) -> UnitWeight:
    """A unit weight; its uncertainty and scatter are shares of it."""
    given = {name: one for name, one in kind.items() if name not in ("u", "sd")}
    figures = {"u_g": kind["u"] * mean_g, "piece_sd_g": kind["sd"] * mean_g}
    return UnitWeight.model_validate({"part_number": "PIN", "mean_g": mean_g, **figures, **given})


def told(bags: Sequence[Counted], bench: Bench) -> str:
    """Bags on one line."""
    words = []
    for bag in bags:
        window = f" {bag.lower_g}–{bag.target_g}–{bag.upper_g}" if bag.target_g is not None else ""
        pours = f" in {bag.pours}" if bag.pours > 1 else ""
        chances = "" if bag.p_reject is None else f" {bag.p_reject:.2e} {chance_words(bag.p_pass_one_short or 0)}"
        words.append(f"{bag.pieces} {bag.bag_type.code} {bag.method.value}{pours} {bag.scale_code}{window}{chances}")
    return f"{' | '.join(dict.fromkeys(words))} × {len(bags)}; {bags[0].reason}; {seconds_of(bags, bench):g} s"


def test_which_way_each_line_is_counted() -> None:
    """Every mass, count, kind of knowledge and bench; both sides of where one way becomes another."""
    lines = []
    for name, bench in BENCHES.items():
        for kind, known in KINDS.items():
            lines += ["", f"== {name}, {kind}"]
            for mean_g in MASSES_G:
                found = weight_for_lot([weight(mean_g, known)], "L2")
                for pieces in PIECES:
                    lines.append(
                        f"{pieces} of {mean_g:g} g: {told(count_line(part('PIN'), found, pieces, bench), bench)}"
                    )
    lines += ["", "== unknown", told(count_line(part("PIN"), None, 30, BENCHES["both"]), BENCHES["both"])]
    none = bench_of([], [SMALL], Settings())
    lines += ["== no scale", told(count_line(part("PIN"), weight_for_lot([weight(1, SAMPLED)], ""), 30, none), none)]
    as_recorded("counting/ways", lines)


def test_by_which_lot() -> None:
    """The own, the one without a lot, the last sampled: by what, when, day, name."""
    base = weight(1.0, SAMPLED)
    lots: dict[str, dict[str, Any]] = {
        "plain": {"lot": ""},
        "by name": {"lot": "L3"},
        "later by name": {"lot": "L4"},
        "by day": {"lot": "L1", "as_of": date(2026, 3, 2)},
        "by time": {"lot": "L0", "sampled_at": NOON, "lot_sd_g": 0.02},
        "not sampled": {"lot": "L9", "source": WeightSource.GEOMETRY, "sample_pieces": 0, "sampled_at": NOON},
        "one piece": {"lot": "L8", "sample_pieces": 1, "sampled_at": NOON},
    }
    records = {name: revised(base, given) for name, given in lots.items()}
    lines = []
    for names in (
        ["plain"],
        ["by name", "later by name"],
        ["by name", "later by name", "by day"],
        ["by day", "by name", "by time", "plain"],
        ["by day", "by time", "later by name"],
        ["not sampled", "by name"],
        ["not sampled", "one piece"],
        [],
    ):
        for lot in ("", "L3", "L7"):
            found = weight_for_lot([records[name] for name in names], lot)
            said = "none" if found is None else f"{found.record.lot!r} u {found.estimate.u_g:.6g} {found.note}"
            lines.append(f"{lot!r} of {', '.join(names)}: {said}")
    as_recorded("counting/lots", lines)


def test_scales_of_the_bench() -> None:
    """Those for bags, the coarsest first; of two alike by code."""
    more = [revised(FINE, {"code": "A-FINE"}), revised(BENCH, {"code": "DOCK", "use": "packages"}),
            revised(BENCH, {"code": "ZERO", "repeatability_g": 0.0, "d_g": Decimal("0.1")})]  # fmt: skip
    bench = bench_of([FINE, BENCH, *more], [SMALL], Settings(), bias_shares={"BENCH": 0.5})
    as_recorded(
        "counting/benches",
        [f"{code}: {scale.bias_share} {scale.indication_u_g(50):.6g}" for code, scale in bench.scales],
    )


def weighed(shifts: Mapping[str, float], *, lots: str = "L1", bags: int = 48) -> list[KnownCount]:
    """Bags of three parts on two scales, a minute apart, the first third of days before.

    ``shifts`` are in s.d. by part, scale or type of bag, from the second half on.
    """
    found = []
    for place in range(bags):
        number, scale = ("EYE", "PIN", "WING")[place % 3], ("FINE", "BENCH")[place // 3 % 2]
        bag_type, lot = ("SMALL", "LARGE")[place // 2 % 2], lots.split()[place // 24 % len(lots.split())]
        off = sum(shifts.get(one, 0.0) for one in (number, scale, bag_type)) * (place >= bags // 2)
        z = ((place * 7) % 11 - 5) / 5 + off
        found.append(
            KnownCount(
                at=NOON + timedelta(minutes=place), bag_code=f"B{place}", part_number=number, lot=lot, scale_code=scale,
                bag_type=bag_type, pieces=40, net_g=40.0 + 0.05 * z, noise_u_g=0.01, centre_g=40.0,
                half_width_g=0.4, is_of_day=place >= 16,
            )
        )  # fmt: skip
    return found


def test_what_is_off() -> None:
    """Nothing, a part, a scale, a type of bag, two of them; while an alarm stands, once it was acted on."""
    known: dict[str, tuple[UnitWeight, ...]] = {
        name: (weight(1.0, {**SAMPLED, "lot": "L1", "part_number": name}),) for name in ("EYE", "PIN")
    }
    known["WING"] = (weight(1.0, {**KINDS["drawing"], "part_number": "WING"}),)
    alarm = ScaleAlarm(scale_code="FINE", since=NOON, said_at=NOON, says="reads high", do="check it")
    acted = revised(alarm, {"acted_at": NOON + timedelta(minutes=12)})
    alarms: dict[str, list[ScaleAlarm]] = {"": [], " under an alarm": [alarm], " acted on": [acted]}
    lines = []
    shifted: tuple[dict[str, float], ...] = (
        {}, {"PIN": 4.0}, {"PIN": -4.0}, {"FINE": 3.0}, {"FINE": -6.0}, {"SMALL": 4.0}, {"FINE": 4.0, "PIN": 4.0},
        {"BENCH": 6.0, "EYE": -9.0}, {"EYE": 5.0, "PIN": 5.0},
    )  # fmt: skip
    for shifts in shifted:
        for name, kept in alarms.items():
            lots = "L1 L2" if "BENCH" in shifts else "L1"
            found = drift_of(KnownCounts(tuple(weighed(shifts, lots=lots)), known), kept)
            lines += ["", f"== {shifts}{name}", f"{found.n} of {found.parts} parts"]
            lines += [line for one in (*found.alarms, *found.findings) for line in lines_of(one)]
            since: list[tuple[object, datetime]] = [*found.part_out_since.items(), *found.scale_out_since.items()]
            lines += [f"out {key} since {at:%H:%M}" for key, at in since]
            for one in found.charts:
                last = (one.residuals[-1], one.ewma[-1], one.cusum_high[-1], one.cusum_low[-1])
                where = f"{one.subject_kind} {one.subject} {one.lot}, alarm {one.alarm_at} since {one.since}"
                lines.append(f"{where}: {len(one.residuals)} to {' '.join(f'{z:.4g}' for z in last)} {one.sentence}")
    as_recorded("counting/off", lines)


def test_charts_of_what_can_be_counted() -> None:
    """From next to nothing to thousands of pieces, on three scales; one piece at most; nothing at all."""
    coarse = revised(BENCH, {"code": "DOCK", "d_g": Decimal(1), "e_g": Decimal(1)})
    lines = []
    for mean_g in (0.002, 0.02, 0.3, 4.0, 90.0):
        for sd in (0.002, 0.05, 0.3):
            for pieces in (2, 30):
                known = weight(mean_g, {**SAMPLED, "sample_pieces": pieces, "sd": sd, "u": sd / pieces**0.5})
                chart = reach_chart(known, [coarse, BENCH, FINE], Settings(), 0.008)
                lines += ["", f"== {pieces} of {mean_g} g, s.d. {sd}", *([] if chart is None else lines_of(chart)[3:])]
    as_recorded("counting/reach-charts", lines)


def test_which_sample_each_scale_asks_for() -> None:
    """By both risks, and by scatter that is known better or worse; what a sample poured on top of itself proves."""
    lines = []
    for risk_pass, risk_reject in ((0.001, 0.005), (0.001, 0.001), (0.01, 0.001), (0.001, 0.1)):
        settings = Settings(risk_pass=risk_pass, risk_reject=risk_reject)
        for mean_g, freedom in ((0.9, 9.0), (5.0, 50.0), (0.06, 4.0)):
            known = weight(mean_g, {**SAMPLED, "piece_sd_freedom": freedom, "piece_sd_source": "single pieces"})
            for want in (0, 30, 400):
                found = reaches_of([FINE, BENCH], known, None, settings, tare_sd_g=0.008, want=want)
                said = [f"{one.scale_code} {one.after} {one.sample_pieces} {one.why_not}".rstrip() for one in found]
                lines.append(f"{risk_pass} {risk_reject}, {want} of {mean_g} g ({freedom:g}): {'; '.join(said)}")
    as_recorded("counting/asked-samples", lines)


def test_how_a_picker_comes_to_a_stop() -> None:
    """At the bench itself, straight on from it, back again, from behind, along a way that is walked twice."""
    elements = [RoomElement(kind=ElementKind.AISLE, name=str(n), x_mm=x) for n, x in ((1, 0), (2, 5000))]
    elements += [RoomElement(kind=ElementKind.CROSS_AISLE, name=n, y_mm=y) for n, y in (("front", 0), ("back", 9000))]
    floor = floor_of([*elements, RoomElement(kind=ElementKind.BENCH, name="bench")])
    paths: tuple[tuple[list[tuple[int, int]], list[tuple[int, int]]], ...] = (
        ([(0, 0)], [(0, 0)]),
        ([(0, 0), (0, 9000), (0, 0)], [(0, 3000), (0, 9000)]),
        ([(0, 0), (5000, 0), (5000, 9000), (0, 9000), (0, 0)], [(1, 0), (1, 8000), (0, 8000), (0, 10)]),
        ([(0, 0), (0, 9000), (5000, 9000), (5000, 4000), (5000, 9000)], [(0, 3000), (1, 4000), (1, 8000)]),
        ([(0, 0), (0, 0), (0, 9000)], [(0, 3000), (0, 8000)]),
    )
    lines = []
    for path, stops in paths:
        came = approaches(floor, path, stops)
        lines.append(f"{path}: {'; '.join(f'{one.sentence} {one.hand(Side.LEFT)}' for one in came)}")
    as_recorded("walks/approaches", lines)
