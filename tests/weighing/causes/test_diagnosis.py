"""Explanations of bags and packages, beyond the worked package in tests/published."""

from collections.abc import Sequence
from dataclasses import fields
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fulfil.errors import UnknownRefused, WeighingRefused
from fulfil.weighing.causes.diagnosis import (
    BagPriors,
    Cause,
    Explanation,
    PackagePriors,
    PackedBag,
    explain_bag,
    explain_package,
)
from fulfil.weighing.causes.ranking import Ranking
from fulfil.weighing.lookalike import LookAlikeIndex

SCREW: dict[str, Any] = {"unit_weight_g": 1.2, "unit_weight_u_g": 0.001, "piece_sd_g": 0.006, "indication_u_g": 0.03}
BAG: dict[str, Any] = {"part_number": "CAP-M3x16", "pieces": 50, **SCREW, "tare_g": 2.1, "tare_sd_g": 0.05}
RIGHT_G = 62.1


def _index() -> LookAlikeIndex:
    return LookAlikeIndex(
        ["CAP-M3x16", "CAP-M3x20", "NUT-M5", "WASHER-M6", "CAP-M3x16-BLACK"],
        [1.2, 1.4, 1.23, 1.02, 1.205],
        [0.001] * 5,
        [0.006] * 5,
        ["cap screw", "cap screw", "hex nut", "washer", "cap screw"],
        ["M3×16", "M3×20", "M5", "M6", "M3×16"],
        ["zinc", "zinc", "zinc", "zinc", "black"],
        [[0, 0], [0, 300], [0, 9000], [4000, 0], [0, 600]],
    )


def _causes(found: Sequence[Explanation]) -> list[tuple[Cause, str]]:
    return [(e.cause, e.subject) for e in found]


@pytest.mark.parametrize(
    ("shift_g", "cause"),
    [
        (-1.2, Cause.ONE_SHORT),
        (1.2, Cause.ONE_OVER),
        (-2.4, Cause.TWO_SHORT),
        (2.4, Cause.TWO_OVER),
        (-6.0, Cause.SEVERAL_SHORT),
        (8.4, Cause.SEVERAL_OVER),
        (2.1, Cause.TARE_FORGOTTEN),
        (-2.1, Cause.TARE_TWICE),
        (40.0, Cause.SOMETHING_ELSE),
    ],
)
def test_each_shift_is_explained_by_its_cause(shift_g: float, cause: Cause) -> None:
    """A bag shifted by exactly what a cause shifts it is put down to that cause with at least 90 %."""
    first = explain_bag(RIGHT_G + shift_g, **BAG)[0]

    assert first.cause == cause
    assert first.probability > 0.9


def test_another_lines_count_is_named() -> None:
    """A bag that holds the count of another line at the bench is explained by that count."""
    first = explain_bag(RIGHT_G - 30 * 1.2, **BAG, other_lines=[("NUT-M5", 20), ("WASHER-M6", 75)])[0]

    assert first.cause == Cause.OTHER_COUNT
    assert first.sentence == "30 pieces short: 20 of 50, another line's count. Count again."


@pytest.mark.parametrize("off", [-2, -1, 1, 2])
def test_a_count_a_piece_off_stays_a_miscount_though_another_line_has_it(off: int) -> None:
    """Another line's count of 49 doesn't make one short of 50 ambiguous: it is the same 49 pieces."""
    plain = explain_bag(RIGHT_G + off * 1.2, **BAG)
    found = explain_bag(RIGHT_G + off * 1.2, **BAG, other_lines=[("NUT-M5", 50 + off)])

    assert plain == found


def test_swapped_labels_are_named() -> None:
    """A bag of another line's part in that line's count is explained as swapped labels."""
    first = explain_bag(2.1 + 80 * 1.02, **BAG, other_lines=[("WASHER-M6", 80)], catalogue=_index())[0]

    assert (first.cause, first.subject) == (Cause.LABELS_SWAPPED, "WASHER-M6")
    assert first.sentence == "This is the bag of 80 WASHER-M6. Swap the labels back."


def test_a_line_counted_by_hand_is_no_weighed_candidate() -> None:
    """A neighbouring line of a part without unit weight can't be told by weight, and doesn't stop the explanation."""
    off_g = 2.1 + 80 * 1.02
    found = explain_bag(off_g, **BAG, other_lines=[("SPRING-S", 9), ("WASHER-M6", 80)], catalogue=_index())

    assert [cause.subject for cause in found if cause.cause == Cause.LABELS_SWAPPED] == ["WASHER-M6"]


def test_other_bag_type_is_named() -> None:
    """The difference between two bag types' tares is explained by the other type."""
    first = explain_bag(RIGHT_G + 1.7, **BAG, other_bag_tares_g=[("medium", 3.8), ("small", 2.1)])[0]

    assert (first.cause, first.subject) == (Cause.OTHER_BAG_TYPE, "medium")


def test_wrong_part_says_what_to_look_at() -> None:
    """A bag of the longer screw in the right count is put down to it, with what tells the two apart."""
    first = explain_bag(2.1 + 50 * 1.4, **BAG, catalogue=_index())[0]

    assert (first.cause, first.subject) == (Cause.LOOK_ALIKE, "CAP-M3x20")
    assert first.sentence == "50 CAP-M3x20, not CAP-M3x16. Look at the size: M3×16, not M3×20."


def test_close_explanations_head_the_list_with_cannot_tell() -> None:
    """Where a tare slip weighs the same as two pieces, the list says that the weight can't tell."""
    found = explain_bag(50 * 1.05 + 2.1 - 2.1, **{**BAG, "unit_weight_g": 1.05})

    assert found[0].cause == Cause.CANNOT_TELL
    assert {e.cause for e in found[1:3]} == {Cause.TWO_SHORT, Cause.TARE_TWICE}
    assert found[0].probability == pytest.approx(found[1].probability + found[2].probability)
    assert "two short (CAP-M3x16)" in found[0].sentence


def test_a_new_lot_or_a_moved_zero_is_considered_when_no_piece_fits() -> None:
    """Half a piece off fits no count; a lot shift is the first explanation and the zero another."""
    found = explain_bag(RIGHT_G + 0.55, **BAG)

    assert {Cause.LOT_SHIFT, Cause.SCALE_ZERO} <= {e.cause for e in found}
    assert found[-1].probability < found[1].probability


def test_many_look_alikes_are_five_names_and_a_rest() -> None:
    """Sixty parts that fit alike don't drown the list: five are named, the others are one explanation."""
    numbers = ["RIGHT", *(f"WRONG-{i:02d}" for i in range(60))]
    same = [1.4] * 60
    index = LookAlikeIndex(numbers, [1.2, *same], [0.001] * 61, [0.006] * 61, ["f"] * 61, ["s"] * 61, ["x"] * 61)

    found = explain_bag(2.1 + 70.0, **{**BAG, "part_number": "RIGHT"}, catalogue=index, decisive_odds=1.0)
    wrong = [e for e in found if e.cause == Cause.LOOK_ALIKE]

    assert [e.subject for e in wrong] == ["", *(f"WRONG-{i:02d}" for i in range(5))]
    assert wrong[0].probability == pytest.approx(11 * sum(e.probability for e in wrong[1:]))
    assert sum(e.probability for e in found) == pytest.approx(1, abs=0.01)


@settings(deadline=None, max_examples=80)
@given(
    pieces=st.integers(1, 2000),
    unit=st.floats(0.01, 50),
    scatter=st.floats(0.0005, 0.05),
    off=st.floats(-30, 30),
)
def test_probabilities_are_a_distribution(pieces: int, unit: float, scatter: float, off: float) -> None:
    """Whatever the weight, the explanations' probabilities are positive, fall, and sum to one."""
    found = explain_bag(
        max(0.0, (pieces + off) * unit + 2.1),
        part_number="P",
        pieces=pieces,
        unit_weight_g=unit,
        unit_weight_u_g=unit * scatter / 7,
        piece_sd_g=unit * scatter,
        indication_u_g=0.03,
        tare_g=2.1,
        tare_sd_g=0.05,
        other_lines=[("Q", 7), ("R", 1500)],
        other_bag_tares_g=[("large", 4.4)],
        least_probability=0.0,
    )
    ranked = [e for e in found if e.cause != Cause.CANNOT_TELL]

    assert sum(e.probability for e in ranked) == pytest.approx(1)
    assert [e.probability for e in ranked] == sorted((e.probability for e in ranked), reverse=True)
    is_close = len(ranked) > 1 and ranked[0].probability < 10 * ranked[1].probability
    assert (found[0].cause == Cause.CANNOT_TELL) == is_close


def test_posterior_is_calibrated() -> None:
    """Of bags made with the priors' mistakes, those explained with probability p are so explained p of the time."""
    rng = np.random.default_rng(11)
    rates = BagPriors(
        **{f.name: 0.0 for f in fields(BagPriors)}
        | {"right": 0.5, "one_short": 0.2, "one_over": 0.1, "two_short": 0.1, "tare_twice": 0.1, "something_else": 1e-9}
    )
    changes = {Cause.RIGHT: 0, Cause.ONE_SHORT: -1, Cause.ONE_OVER: 1, Cause.TWO_SHORT: -2, Cause.TARE_TWICE: 0}
    truths = rng.choice(len(changes), size=1500, p=[0.5, 0.2, 0.1, 0.1, 0.1])
    bag: dict[str, Any] = {**BAG, "unit_weight_g": 0.9, "piece_sd_g": 0.05, "unit_weight_u_g": 0.005}
    scored, hits = 0.0, 0
    for truth in truths:
        cause = list(changes)[truth]
        count = 50 + changes[cause]
        gross = (
            count * (0.9 + 0.005 * rng.standard_normal())
            + np.sqrt(count) * 0.05 * rng.standard_normal()
            + 2.1
            + np.hypot(0.05, 0.03) * rng.standard_normal()
            - (2.1 if cause == Cause.TARE_TWICE else 0.0)
        )
        first = explain_bag(float(gross), **bag, priors=rates, decisive_odds=1.0)[0]
        scored += first.probability
        hits += first.cause == cause

    assert scored / truths.size < 0.95
    assert hits / truths.size == pytest.approx(scored / truths.size, abs=0.035)


def test_two_bags_of_one_part_share_the_unit_weights_error() -> None:
    """Two bags of one part scatter as one bag of their pieces, not as two bags with errors of their own."""
    only: dict[str, Any] = {"right": 0.99, "something_else": 0.01}

    def right_against_short(bags: tuple[PackedBag, ...]) -> float:
        found = explain_package(
            sum(b.pieces for b in bags) * 1.0 - 6.0, bags, packing_g=0.0, packing_sd_g=0.0, indication_u_g=0.01,
            priors=PackagePriors(**dict.fromkeys((f.name for f in fields(PackagePriors)), 0.0) | only),
        )  # fmt: skip
        return next(e.probability for e in found if e.cause == Cause.RIGHT)

    one = right_against_short((PackedBag("1", "A", 200, 1.0, 0.01, 0.0),))
    split = right_against_short((PackedBag("1", "A", 100, 1.0, 0.01, 0.0), PackedBag("2", "A", 100, 1.0, 0.01, 0.0)))
    apart = right_against_short((PackedBag("1", "A", 100, 1.0, 0.01, 0.0), PackedBag("2", "B", 100, 1.0, 0.01, 0.0)))

    assert split == pytest.approx(one, rel=1e-9)
    assert abs(apart - one) > 1e-3


def _package() -> tuple[PackedBag, ...]:
    return (
        PackedBag("B-1", "CAP-M3x16", 50, 1.2, 0.001, 0.006, 2.1, 0.05),
        PackedBag("B-2", "NUT-M5", 40, 1.23, 0.001, 0.006, 2.1, 0.05),
        PackedBag("B-3", "WASHER-M6", 120, 1.02, 0.001, 0.005, 3.0, 0.05),
    )


PACKING: dict[str, Any] = {"packing_g": 95.0, "packing_sd_g": 0.2, "indication_u_g": 0.05}
PACKAGE_G = 60.0 + 49.2 + 122.4 + 7.2 + 95.0


@pytest.mark.parametrize(
    ("shift_g", "cause", "subject"),
    [
        (-125.4, Cause.BAG_MISSING, "B-3"),
        (51.3, Cause.BAG_DOUBLED, "B-2"),
        (-12.0, Cause.OTHER_COUNT, "B-1"),
        (10.0, Cause.LOOK_ALIKE, "CAP-M3x20"),
        (-25.0, Cause.PACKING_LEFT_OUT, ""),
        (77.7, Cause.SOMETHING_ELSE, ""),
    ],
)
def test_each_package_shift_is_explained_by_its_cause(shift_g: float, cause: Cause, subject: str) -> None:
    """A package shifted by exactly what a cause shifts it is put down first to that cause and subject."""
    found = explain_package(PACKAGE_G + shift_g, _package(), **PACKING, filling_g=25.0, catalogue=_index())

    assert (cause, subject) == _causes([e for e in found if e.cause != Cause.CANNOT_TELL])[0]


def test_a_missing_piece_is_rarely_seen_on_a_package() -> None:
    """Beside scatter of several grams a missing screw of 1.2 g leaves the package right, or untold."""
    heavy = (*_package(), PackedBag("B-4", "SPRING", 2000, 3.0, 0.003, 0.06, 9.0, 0.2))
    found = explain_package(PACKAGE_G + 6009.0 - 1.2, heavy, **PACKING)

    assert found[0].cause in (Cause.RIGHT, Cause.CANNOT_TELL)
    assert max(e.probability for e in found if e.cause == Cause.ONE_SHORT) < 0.05


def test_wrong_use_is_refused_in_one_sentence() -> None:
    """Numbers that can't be, a part that isn't in the catalogue and an empty package are refused by name."""
    with pytest.raises(WeighingRefused) as refused:
        explain_bag(RIGHT_G, **{**BAG, "unit_weight_g": float("nan")})
    assert (
        str(refused.value)
        == "Cannot explain a bag of CAP-M3x16 with unit weight in g 'nan': expected a number above 0."
    )
    with pytest.raises(WeighingRefused, match="with pieces '0': expected a number above 0"):
        explain_bag(RIGHT_G, **{**BAG, "pieces": 0})
    with pytest.raises(UnknownRefused, match="part 'UNKNOWN': expected an indexed part"):
        explain_bag(RIGHT_G, **{**BAG, "part_number": "UNKNOWN"}, catalogue=_index())
    with pytest.raises(WeighingRefused, match="'0': expected one bag or more"):
        explain_package(10.0, (), **PACKING)
    with pytest.raises(WeighingRefused, match="no list is complete"):
        BagPriors(something_else=0.0)
    with pytest.raises(WeighingRefused, match=r"by its bag B-9 with piece s\.d\. in g '-1\.0'"):
        PackedBag("B-9", "X", 1, 1.0, 0.0, -1.0)


def test_ties_go_to_the_earlier_cause() -> None:
    """Explanations of equal probability are ordered by the list of causes, then by subject."""
    ranking = Ranking(0.0)
    for cause in (Cause.SCALE_ZERO, Cause.ONE_OVER, Cause.ONE_SHORT):
        ranking.add(cause, 0.1, shift_g=0.0, variance_g2=1.0, say=lambda _: "")
    ranking.add(
        Cause.ONE_SHORT, [0.1, 0.1], shift_g=[0.0, 0.0], variance_g2=1.0, say=lambda _: "",
        subject=lambda row: "BA"[row], is_one=False,
    )  # fmt: skip

    assert _causes(ranking.explanations()) == [
        (Cause.ONE_SHORT, ""),
        (Cause.ONE_SHORT, "A"),
        (Cause.ONE_SHORT, "B"),
        (Cause.ONE_OVER, ""),
        (Cause.SCALE_ZERO, ""),
    ]


WORKED = tuple(
    PackedBag(code, code, pieces, unit_g, 0.0, sd_g, 2.1, 0.05)
    for code, pieces, unit_g, sd_g in (
        ("A", 100, 0.9, 0.009),
        ("B", 50, 2.0, 0.02),
        ("C", 200, 0.383, 0.004),
        ("D", 20, 13.4, 0.1),
    )
)
WORKED_PRIORS = PackagePriors(
    right=0.97, bag_missing=0.002, bag_doubled=0.0, one_short=0.003, one_over=0.002, two_short=0.0, two_over=0.0,
    other_count=0.0, look_alike=0.0, tare_forgotten=0.002, tare_twice=0.002, packing_left_out=0.0, lot_shift=0.0,
    scale_zero=0.0, something_else=0.002,
)  # fmt: skip


@pytest.mark.parametrize(
    ("off_g", "ranked"),
    [
        (-13.4, [(Cause.ONE_SHORT, "D", 0.9987)]),
        (-79.0, [(Cause.BAG_MISSING, "C", 0.9979)]),
        (-92.1, [(Cause.BAG_MISSING, "A", 0.9981)]),
        (-2.1, [(Cause.RIGHT, "", 0.801), (Cause.ONE_SHORT, "B", 0.096), (Cause.TARE_TWICE, "", 0.065),
                (Cause.ONE_SHORT, "A", 0.029)]),
        (-0.9, [(Cause.RIGHT, "", 0.985), (Cause.ONE_SHORT, "A", 0.006)]),
    ],
)  # fmt: skip
def test_the_worked_package(off_g: float, ranked: list[tuple[Cause, str, float]]) -> None:
    """A package of 543.0 g with s.d. 0.7754 g is explained as worked by hand with Bayes' rule, to the digits."""
    found = explain_package(
        543.0 + off_g, WORKED, packing_g=0.0, packing_sd_g=0.0, indication_u_g=0.6, other_density_per_g=0.001,
        priors=WORKED_PRIORS,
    )  # fmt: skip
    told = [e for e in found if e.cause != Cause.CANNOT_TELL]

    for explanation, (cause, subject, probability) in zip(told, ranked, strict=False):
        assert (explanation.cause, explanation.subject) == (cause, subject)
        assert explanation.probability == pytest.approx(probability, abs=0.0005)
    assert (found[0].cause == Cause.CANNOT_TELL) == (off_g == -2.1)


def test_the_worked_package_with_its_samples() -> None:
    """With unit weights from samples of 50 the package's s.d. is 0.8546 g: a right package 0.9 g light is less odd."""
    sampled = tuple(
        PackedBag(b.bag_code, b.part_number, b.pieces, b.unit_weight_g, b.piece_sd_g / 50**0.5, b.piece_sd_g, 2.1, 0.05)
        for b in WORKED
    )
    only = dict.fromkeys((f.name for f in fields(PackagePriors)), 0.0) | {"right": 0.5, "something_else": 0.5}
    found = explain_package(
        543.0 - 0.9, sampled, packing_g=0.0, packing_sd_g=0.0, indication_u_g=0.6, other_density_per_g=0.1,
        priors=PackagePriors(**only),
    )  # fmt: skip
    density = np.exp(-0.5 * (0.9 / 0.8546) ** 2) / (0.8546 * np.sqrt(2 * np.pi))

    assert found[0].cause == Cause.CANNOT_TELL
    right = next(e for e in found if e.cause == Cause.RIGHT)
    assert right.probability == pytest.approx(density / (density + 0.1), abs=2e-4)


@pytest.mark.parametrize("gross", [250.0, 350.0])
def test_package_variances_are_those_of_what_is_in_it(gross: float) -> None:
    """Each hypothesis scatters as the pieces and bags that it says are in the package, unit weights shared by part."""
    bags = (
        PackedBag("1", "A", 100, 1.0, 0.02, 0.3, 4.0, 0.5),
        PackedBag("2", "A", 60, 1.0, 0.02, 0.3, 4.0, 0.5),
        PackedBag("3", "B", 10, 9.0, 0.3, 1.0, 6.0, 2.0),
    )
    hypotheses: dict[tuple[Cause, str], Any] = {(Cause.RIGHT, ""): ((100, 60, 10), (1, 1, 1))}
    for i, bag in enumerate(bags):
        for cause, change, times in (
            (Cause.BAG_MISSING, -bag.pieces, 0),
            (Cause.BAG_DOUBLED, bag.pieces, 2),
            (Cause.ONE_SHORT, -1, 1),
            (Cause.TWO_OVER, 2, 1),
        ):
            counts = tuple(b.pieces + (change if j == i else 0) for j, b in enumerate(bags))
            hypotheses[cause, bag.bag_code] = (counts, tuple(times if j == i else 1 for j in range(3)))
    density = {}
    for key, (counts, tares) in hypotheses.items():
        mean = sum(c * b.unit_weight_g + t * b.tare_g for c, t, b in zip(counts, tares, bags, strict=True)) + 20
        variance = ((counts[0] + counts[1]) * 0.02) ** 2 + (counts[2] * 0.3) ** 2 + 0.4**2 + 0.1**2
        variance += sum(c * b.piece_sd_g**2 + t * b.tare_sd_g**2 for c, t, b in zip(counts, tares, bags, strict=True))
        density[key] = np.exp(-0.5 * (gross - mean) ** 2 / variance) / np.sqrt(variance)
    only = dict.fromkeys((f.name for f in fields(PackagePriors)), 0.0) | {"something_else": 1e-12}
    only |= dict.fromkeys(("right", "bag_missing", "bag_doubled", "one_short", "two_over"), 1.0)

    found = explain_package(
        gross, bags, packing_g=20.0, packing_sd_g=0.4, indication_u_g=0.1, priors=PackagePriors(**only),
        least_probability=0.0, decisive_odds=1.0,
    )  # fmt: skip
    told = {(e.cause, e.subject): e.probability for e in found if e.probability > 1e-6}

    assert told.keys() == {key for key in density if density[key] > 1e-6 * sum(density.values())}
    for key, probability in told.items():
        assert probability == pytest.approx(density[key] / sum(density.values()), rel=1e-6)
