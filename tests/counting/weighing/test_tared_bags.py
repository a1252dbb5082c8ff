"""Bags on the tared scale: when they are planned, how they are checked, what they teach."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from fulfil.bench.check import BagCheck, Seen, check_bag
from fulfil.counting.budgets import bag_budget
from fulfil.counting.count_lines import bench_of, count_line
from fulfil.counting.lot_weights import weight_for_lot
from fulfil.counting.passed_bags import known_counts
from fulfil.counting.scale_room import parts_by_hand
from fulfil.counting.timed_checks import count_times, timed_checks
from fulfil.counting.told_pours import Pour, read_pour, tell_pours
from fulfil.errors import QuantityRefused, WeighingRefused
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag, CountMethod
from fulfil.records.settings import Settings
from fulfil.records.weighing import Verdict
from fulfil.store.shop import Shop
from fulfil.weighing.count_times import CountTimes
from tests.counting.weighing.steps import AT, BENCH, DAY, FINE, HAND, LARGE, PIN, SMALL, part, planned_bag


def checked(shop: Shop, bag: Bag, *pours: str, gross: str = "") -> BagCheck:
    """The check of a bag by somebody else than its picker."""
    seen = Seen(gross_g=Decimal(gross) if gross else None, pours=tuple(map(read_pour, pours)))
    return check_bag(shop, bag.code, seen, at=AT + timedelta(minutes=5), person="bo")


def test_light_pieces_are_told_when_the_bag_is_tared() -> None:
    """40 pieces of 50 mg: a bag of 8 mg s.d. hides a piece, tared itself it does not; two weighings against 40 s."""
    (bag,) = count_line(part("PIN"), weight_for_lot([PIN], ""), 40, bench_of([FINE, BENCH], [SMALL], Settings()))
    assert (bag.method, bag.pours, bag.scale_code) == (CountMethod.TARE, 1, "FINE")
    assert bag.lower_g is not None
    assert bag.upper_g is not None
    # Net: 40 × 50 mg, less than half a piece either way.
    assert Decimal("1.975") <= bag.lower_g < Decimal("2.000") < bag.upper_g <= Decimal("2.025")
    assert bag.reason == "quickest: 20 s, by hand 40 s"


def test_more_than_one_weighing_tells_goes_in_pours() -> None:
    """400 pieces of 50 mg and 0.8 % scatter: equal pours, each within its share of the risk; 1/k by the union bound."""
    (bag,) = count_line(part("PIN"), weight_for_lot([PIN], ""), 400, bench_of([FINE], [LARGE], Settings()))
    assert bag.method is CountMethod.POUR
    assert 400 % bag.pours == 0
    assert bag.p_pass_one_short is not None
    assert bag.p_reject is not None
    assert bag.p_pass_one_short <= 0.001
    assert bag.p_reject <= 0.005


def test_by_hand_where_that_is_quicker() -> None:
    """A shop that counts in no time and weighs slowly is told to count, and why."""
    slow = bench_of([FINE], [SMALL], Settings(), times=CountTimes(piece_s=0.1, weighing_s=60.0))
    (bag,) = count_line(part("PIN"), weight_for_lot([PIN], ""), 40, slow)
    assert bag.method is CountMethod.HAND
    assert bag.reason == "by hand is quickest: 4 s, on the tared scale 2 min"


def test_pieces_too_light_for_any_scale_stay_by_hand() -> None:
    """10 mg on a scale of e = 10 mg: no taring helps."""
    dust = replace_weight(PIN, mean_g=0.01, u_g=1e-6, piece_sd_g=1e-5)
    (bag,) = count_line(part("PIN"), weight_for_lot([dust], ""), 100, bench_of([FINE], [SMALL], Settings()))
    assert bag.method is CountMethod.HAND
    assert "less than 3 e" in bag.reason


def replace_weight(weight: UnitWeight, **now: float) -> UnitWeight:
    """The same with other figures."""
    return UnitWeight.model_validate(weight.model_dump() | now)


def test_a_tared_bag_passes_by_what_the_tared_scale_shows(shop: Shop) -> None:
    """Net inside its window; the bag then weighs that and its bag, and teaches without the bag's scatter."""
    bag = planned_bag(shop, PIN, 40)
    passed = checked(shop, bag, gross="2.004")
    assert passed.verdict.verdict is Verdict.PASSED
    assert passed.bag.gross_g == Decimal("2.004") + SMALL.tare_g
    assert passed.bag.gross_u_g is not None
    assert passed.bag.gross_u_g > SMALL.tare_sd_g
    with shop.reading() as books:
        (known,) = known_counts(books, DAY).weighings
        budget = bag_budget(books, passed.bag)
    assert known.net_g == pytest.approx(2.004)
    # Two readings of 1.5 mg and their rounding, by hand: √(2 (1.5² + 1/12)) = 2.16 mg.
    assert known.noise_u_g == pytest.approx(0.00216, abs=5e-6)
    assert budget is not None
    assert not any(term.name.startswith("bag") for term in budget.terms)


@pytest.mark.parametrize("gross", ["1.953", "2.051", "2.624"])
def test_a_tared_bag_that_is_off_goes_back(shop: Shop, gross: str) -> None:
    """One short, one over, and a scale that nobody tared."""
    back = checked(shop, planned_bag(shop, PIN, 40), gross=gross)
    assert back.verdict.verdict is Verdict.RECOUNT
    if gross == "2.624":
        assert back.verdict.likely_cause == "tare forgotten"


def test_a_bag_in_pours_is_told_whatever_the_lots(shop: Shop) -> None:
    """The checker's lots needn't be the picker's four of 100: 95, 101, 102 and 102 pieces of 50 mg are 400."""
    bag = planned_bag(shop, PIN, 400)
    passed = checked(shop, bag, "4.752", "5.049", "5.103", "5.098")
    assert passed.verdict.verdict is Verdict.PASSED
    assert passed.verdict.reason == "poured out on FINE: 95 + 101 + 102 + 102 = 400 pieces, as ordered"
    with shop.reading() as books:
        (known,) = known_counts(books, DAY).weighings
    assert known.net_g == pytest.approx(20.002)
    assert known.half_width_g == float("inf")


def test_a_bag_in_pours_that_lacks_a_piece_says_how_many(shop: Shop) -> None:
    """399 of 400, told; a lot between two counts, told as that; a lot too large, refused with what would do."""
    bag = planned_bag(shop, PIN, 400)
    short = checked(shop, bag, "5.003", "4.998", "5.001", "4.950")
    assert (short.verdict.verdict, short.verdict.pieces_off) == (Verdict.RECOUNT, -1)
    assert short.verdict.reason.endswith("100 + 100 + 100 + 99 = 399 pieces, 1 short of 400")
    odd = checked(shop, bag, "5.003", "4.998", "5.025", "4.950")
    assert "is 100.50 pieces, which no whole number fits" in odd.verdict.reason
    with pytest.raises(WeighingRefused, match=r"Cannot tell pour 1 of '20.001 g': expected at most [0-9]+ pieces"):
        checked(shop, bag, "20.001")
    with pytest.raises(WeighingRefused, match="tare before each"):
        checked(shop, bag, gross="20.001")


def test_a_part_that_nobody_sampled_is_counted_up_by_its_own_pieces(shop: Shop) -> None:
    """10 and 15 by hand, then 75 poured: pieces of 4.90 g, the drawing says 5; the second lot proves the first."""
    bag = planned_bag(shop, HAND, 100)
    assert bag.method is CountMethod.HAND
    with shop.reading() as books:
        one = tell_pours(books, bag, [Pour(Decimal("49.00"), 10)], BENCH)
        two = tell_pours(books, bag, [Pour(Decimal("49.00"), 10), Pour(Decimal("73.51"), 15)], BENCH)
    assert one.unproven.startswith("count 15 more by hand")
    assert two.counts == (10, 15)
    assert two.stage is not None
    assert (two.stage.pieces, abs(two.stage.target_g - 75 * 4.9004) < 0.01) == (75, True)
    assert checked(shop, bag, "10:49.00", "15:73.51", "367.5").verdict.verdict is Verdict.PASSED


def test_a_first_lot_that_was_miscounted_is_found_by_the_second(shop: Shop) -> None:
    """Nine said to be ten: the fifteen then weigh as 16.7 of them. Without the second lot nothing is told."""
    bag = planned_bag(shop, HAND, 100)
    with pytest.raises(WeighingRefused, match="Count both lots again"):
        checked(shop, bag, "10:46.55", "15:73.51", "367.5")
    with pytest.raises(QuantityRefused, match="a second, larger lot counted by hand"):
        checked(shop, bag, "10:49.00", "367.5")
    with pytest.raises(WeighingRefused, match="the catalogue"):
        checked(shop, bag, "10:41.00", "15:61.5", "307.5")
    with pytest.raises(QuantityRefused, match="since nobody sampled PIN"):
        checked(shop, bag, "367.5")


def test_a_scale_found_off_puts_tared_parts_on_the_list_too(shop: Shop) -> None:
    """With all of the permitted error, 10 mg, pieces of 50 mg don't hold their risk any more; with little they do."""
    planned_bag(shop, PIN, 40)
    with shop.reading() as books:
        assert parts_by_hand(books, FINE, 0.25) == ()
        assert parts_by_hand(books, FINE, 1.0) == ("PIN",)


def test_times_are_learned_from_the_days_before(shop: Shop) -> None:
    """Twenty bags by hand at 2 s a piece and twenty on the tared scale at 15 s a weighing, 5 s each besides."""
    when = AT
    for number in range(21):
        for weight, pieces, seconds in ((HAND, 10 + number, 5 + 2 * (10 + number)), (PIN, 40, 5 + 2 * 15)):
            bag = planned_bag(shop, weight, pieces, f"B-{number}-{pieces if weight is HAND else 'T'}")
            when += timedelta(seconds=seconds)
            seen = Seen(counted=pieces, gross_g=None) if weight is HAND else Seen(gross_g=Decimal("2.004"))
            if weight is HAND:
                seen = replace(seen, gross_g=Decimal("60.00") + pieces, scale_code="BENCH")
            assert check_bag(shop, bag.code, seen, at=when, person="bo").verdict.verdict is Verdict.PASSED
    with shop.reading() as books:
        assert len(timed_checks(books, DAY)) == 0
        assert count_times(books, DAY) == CountTimes(1.0, 10.0)
        learned = count_times(books, DAY + timedelta(days=1))
    assert learned.n == 41
    assert learned.piece_s == pytest.approx(2.0, abs=1e-6)
    assert learned.weighing_s == pytest.approx(15.0, abs=1e-6)


def test_a_large_bag_of_a_part_nobody_sampled_says_that_its_own_pieces_do() -> None:
    """100 pieces by hand are 100 s; 25 of them and five weighings 75 s. Of 60, and of what is too light, no word."""
    bench = bench_of([FINE, BENCH], [SMALL, LARGE], Settings())
    dust = replace_weight(HAND, mean_g=0.01, u_g=0.0005, piece_sd_g=1e-4)

    def why(weight: UnitWeight, pieces: int) -> str:
        return count_line(part("PIN"), weight_for_lot([weight], ""), pieces, bench)[0].reason

    first = "sample first: unit weight from geometry"
    assert why(HAND, 100) == f"{first}; or count 10, then 15, and 'bags count-up' tells the rest"
    assert why(HAND, 60) == first
    assert why(dust, 100) == first
