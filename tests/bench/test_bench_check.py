"""The check bench on a shop: one transaction a line, verdicts, slips, holds, undo, two benches, resuming."""

from decimal import Decimal

import pytest

from fulfil.bench.check_station import CheckBench
from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.bench.places import free_order, note_picker
from fulfil.checking.reading import ScaleReading
from fulfil.checking.sampling_plan import SamplingPlan
from fulfil.checking.saying import Sound
from fulfil.errors import StateRefused
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.pulling import pull_bags, put_back
from fulfil.records.bench import BenchPlace, Recount, RecountState, SentBackFor
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderState
from fulfil.records.pieces import Owed, OwedBalance, StockEntry
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import WeighingRecord
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop

WEIGHED, BY_HAND = "B2603020003", "B2603020006"
"""A bag of order O-1001 that is weighed without a second look, and one of O-1002 that is counted by hand."""


@pytest.fixture
def shop(tmp_path):
    """Three orders of four bags."""
    path = tmp_path / "shop.sqlite"
    bench_shop(path)
    with open_shop(path, wait_s=1) as opened:
        yield opened


def opened(shop, name="check-1", person="anna", **more):
    """A bench of the shop, opened."""
    bench = CheckBench(shop, name, person=person, **more)
    bench.open()
    return bench


def enter(bench, *lines):
    """Some lines; the last answer."""
    say = None
    for line in lines:
        say = bench.enter(line, at=AT)
    return say


def bag_of(shop, code):
    """A bag as it is now."""
    with shop.reading() as books:
        return books.need(Bag, code)


def test_a_right_bag_passes_and_leaves_its_bin(shop):
    """Its mass is kept with its uncertainty, its promise is gone, the ledger has its pieces."""
    bench = opened(shop)
    before = bag_of(shop, WEIGHED)

    say = enter(bench, WEIGHED, f"{before.target_g:.2f}")

    after = bag_of(shop, WEIGHED)
    assert (say.big, say.sound) == ("PASSED", Sound.PASSED)
    assert (after.state, after.gross_g, after.checks) == (BagState.PASSED, before.target_g, 1)
    assert after.gross_u_g == pytest.approx((0.005**2 + 0.01**2 / 12) ** 0.5)
    with shop.reading() as books:
        (owed,) = books.find(OwedBalance, order_number="O-1001", line_no=3)
        assert (owed.place, owed.ref, owed.pieces) == (Owed.PASSED, WEIGHED, before.pieces)
        assert books.find(StockEntry, source=WEIGHED)[0].bin_change == -before.pieces


def test_a_light_bag_goes_back_with_a_slip_and_comes_again(shop):
    """The slip says why; when the bag passes, the slip is done."""
    bench = opened(shop)
    bag = bag_of(shop, WEIGHED)

    say = enter(bench, WEIGHED, f"{bag.target_g - Decimal('3.79'):.2f}")
    with shop.reading() as books:
        (slip,) = books.find(Recount)

    assert say.big == "RECOUNT"
    assert "One piece short" in say.lines[0]
    assert (slip.sent_back_for, slip.which, slip.likely_cause) == (SentBackFor.WEIGHT, 1, "one short")
    assert bench.slips == [slip.number]
    again = enter(bench, WEIGHED)
    assert "LOOK TWICE: sent back before" in " ".join(again.lines)
    assert enter(bench, f"{bag.target_g:.2f}", "ok").big == "PASSED"
    with shop.reading() as books:
        assert books.need(Recount, slip.number).state is RecountState.DONE


def test_three_times_wrong_holds_the_order_and_tells(shop):
    """The third slip says stop; the order's bags are refused until a person lets it go on."""
    bench = opened(shop)
    pieces = bag_of(shop, BY_HAND).pieces

    for _ in range(3):
        say = enter(bench, BY_HAND, str(pieces - 1))

    assert (say.big, say.sound) == ("STOP", Sound.STOP)
    assert "The order is held." in say.lines[0]
    with shop.reading() as books:
        order = books.need(Order, "O-1002")
        assert (order.state, [slip.which for slip in books.find(Recount)]) == (OrderState.HELD, [1, 2, 3])
    refused = enter(bench, BY_HAND)
    assert refused.headline.startswith(f"Order O-1002 is held: bag {BY_HAND}: counted by hand")
    resume_order(shop, "O-1002", at=AT, person="chief")
    assert enter(bench, BY_HAND, str(pieces)).headline.endswith("as ordered.") or bench.state.bag is not None


def test_undo_puts_everything_back(shop):
    """Bag, bin, promise and order are as before; the weighing and both journal entries stay."""
    bench = opened(shop)
    before = bag_of(shop, WEIGHED)
    with shop.reading() as books:
        promise, level = books.find(OwedBalance), books.need(Bin, before.bin_code).pieces

    say = enter(bench, WEIGHED, f"{before.target_g:.2f}", "undo")

    assert say.headline == f"Undone: bag {WEIGHED} waits for its check again."
    assert bag_of(shop, WEIGHED) == before
    with shop.reading() as books:
        assert (books.find(OwedBalance), books.need(Bin, before.bin_code).pieces) == (promise, level)
        assert books.need(Order, "O-1001").state is OrderState.RELEASED
        assert books.count(WeighingRecord, subject=WEIGHED) == 1
        assert [entry.event for entry in books.find(JournalEntry, subject=WEIGHED)] == ["bag checked", "check undone"]


def test_an_undone_failure_leaves_no_open_slip(shop):
    """Its slip says undone, and counts no more."""
    bench = opened(shop)

    enter(bench, WEIGHED, "60.00", "undo")

    with shop.reading() as books:
        assert [slip.state for slip in books.find(Recount)] == [RecountState.UNDONE]
    assert bag_of(shop, WEIGHED).checks == 0


def test_two_benches_take_one_order_one_wins_the_other_is_told(shop):
    """The second one changes nothing; freed with a reason, the order can be taken."""
    first, second = opened(shop), opened(shop, "check-2", "ben")

    enter(first, WEIGHED)
    told = enter(second, "B2603020001")

    assert told.sound is Sound.REFUSED
    assert told.headline == ("Cannot take order 'O-1001': expected a free order; bench check-1 has it in hand (anna).")
    assert second.state.order_number == ""
    assert free_order(shop, "O-1001", "check-1 is broken", at=AT, person="chief") == ("check-1",)
    assert "in hand" in enter(second, WEIGHED).headline
    lost = enter(first, f"{bag_of(shop, WEIGHED).target_g:.2f}")
    assert lost.sound is Sound.REFUSED
    assert bag_of(shop, WEIGHED).state is BagState.PLANNED


def test_a_bench_of_another_kind_can_t_have_the_name(shop):
    """A check bench that is opened as a packing bench would lose what is in hand."""
    from fulfil.bench.pack_station import PackBench

    enter(opened(shop), WEIGHED)

    with pytest.raises(StateRefused, match="this one is a check bench"):
        PackBench(shop, "check-1").open()


def test_a_bench_goes_on_with_the_bag_in_hand(shop):
    """Another program opens the bench: same person, order, bag; the last verdict is named."""
    enter(opened(shop), WEIGHED)

    again = CheckBench(shop, "check-1")
    say = again.open()

    assert say.headline == f"Back at bench check-1, anna. Bag {WEIGHED} in hand. Weigh it on FINE."
    enter(again, f"{bag_of(shop, WEIGHED).target_g:.2f}")
    assert f"Last verdict here: bag {WEIGHED}, passed." in CheckBench(shop, "check-1").open().lines


REFUSED = {
    "nonsense": "'nonsense' is not a bag, an order or a walk of this shop.",
    "pos 9": "Nothing stands at position 9 of walk W2603020001.",
    "W2603029999": "'W2603029999' is not a bag, an order or a walk of this shop.",
    "B26030200": "'B26030200' is not a bag, an order or a walk of this shop.",
}


@pytest.mark.parametrize("line", REFUSED)
def test_an_unexpected_scan_changes_nothing_in_the_shop(shop, line):
    """Not one row of any table is touched."""
    bench = opened(shop)
    enter(bench, "W2603020001")
    kinds = (BenchPlace, Bag, Order, JournalEntry, WeighingRecord, StockEntry)
    with shop.reading() as books:
        before = [books.find(kind) for kind in kinds]

    say = enter(bench, line)

    assert (say.headline, say.sound) == (REFUSED[line], Sound.REFUSED)
    with shop.reading() as books:
        assert [books.find(kind) for kind in kinds] == before


@pytest.mark.parametrize(
    ("state", "says"),
    [
        (
            OrderState.CANCELLED,
            f"Bag {WEIGHED} was pulled: changed her mind. Its 13 SCR-0024 go back into bin 02L-04-1.",
        ),
        (OrderState.HELD, "Order O-1001 is held: paint smells"),
    ],
)
def test_bags_of_orders_that_don_t_go_on_are_refused(shop, state, says):
    """Cancelled or held: clear words, no change."""
    if state is OrderState.HELD:
        hold_order(shop, "O-1001", "paint smells", at=AT, person="clerk")
    else:
        cancel_order(shop, "O-1001", "changed her mind", at=AT, person="clerk")

    assert enter(opened(shop), WEIGHED).headline == says


@pytest.mark.parametrize(
    ("update", "says"),
    [
        ({"state": BagState.PASSED}, f"Bag {WEIGHED} has passed already."),
        (
            {"state": BagState.PACKED, "package_number": "P-7"},
            f"Bag {WEIGHED} is packed already, in package P-7.",
        ),
    ],
)
def test_bags_that_are_done_are_refused(shop, update, says):
    """Passed or packed already."""
    with shop.writing() as books:
        books.replace([books.need(Bag, WEIGHED).model_copy(update=update)])

    assert enter(opened(shop), WEIGHED).headline == says


def test_the_picker_does_not_check_the_own_walk(shop):
    """Noted before, or by a badge at the bench; new pickers' bags are looked at twice."""
    note_picker(shop, "W2603020001", at=AT, person="anna")

    told = enter(opened(shop), WEIGHED)

    assert "a checker who isn't its picker; anna picked it" in told.headline
    other = opened(shop, "check-2", "ben")
    assert "LOOK TWICE: new picker (0 walks before)" in " ".join(enter(other, WEIGHED).lines)


@pytest.mark.parametrize(("earlier", "says"), [((), "(0 walks before)"), (("W2602270009",), "(1 walk before)")])
def test_a_walk_that_was_only_begun_is_its_pickers_too(shop, earlier, says):
    """Nobody noted who picked, the cart's page said who begun: this walk is not counted, an earlier one is."""
    with shop.writing() as books:
        for walk in (*earlier, "W2603020001"):
            books.journal(at=AT, person="carla", event=Happening.WALK_BEGUN, subject=walk)

    assert f"new picker {says}" in " ".join(enter(opened(shop), WEIGHED).lines)


def test_the_weight_of_a_bag_never_weighed_is_asked_beside_its_count(shop):
    """A part without any unit weight: count and mass, the mass on the finest scale that carries it."""
    from fulfil.records.part import UnitWeight

    bag = bag_of(shop, BY_HAND)
    with shop.writing() as books:
        books.remove(UnitWeight, part_number=bag.part_number)
    bench = opened(shop)

    asked = enter(bench, BY_HAND, str(bag.pieces))
    passed = enter(bench, "88.10 g")

    assert asked.headline == "Weigh it too (with 'g')."
    assert passed.big == "PASSED"
    assert bag_of(shop, BY_HAND).gross_g == Decimal("88.1")


def test_a_sending_scale_fills_the_weight_in_once(shop):
    """Nothing before the scan, nothing twice; the next bag needs a new load."""
    bench = opened(shop)
    bag, other = bag_of(shop, WEIGHED), bag_of(shop, "B2603020004")
    load = ScaleReading(bag.target_g)

    assert bench.weighed(load, at=AT, sent_at_s=1.0) is None
    bench.enter(WEIGHED, at=AT, now_s=2.0)
    assert bench.weighed(load, at=AT, sent_at_s=1.5) is None
    assert bench.weighed(ScaleReading(bag.target_g, is_steady=False), at=AT, sent_at_s=2.5) is None
    assert bench.weighed(load, at=AT, sent_at_s=3.0).big == "PASSED"
    bench.enter(other.code, at=AT, now_s=4.0)
    assert bench.weighed(load, at=AT, sent_at_s=5.0) is None
    negative = bench.weighed(ScaleReading(Decimal("-3.0")), at=AT, sent_at_s=6.0)
    assert "Empty the pan, set it to zero" in negative.headline
    assert bench.weighed(ScaleReading(other.target_g), at=AT, sent_at_s=7.0).big == "PASSED"


def test_the_sampling_plan_lets_low_risk_bags_through_and_says_so(shop):
    """After a clear run; what it lets through has no mass of its own, and the reason names the plan."""
    plan = SamplingPlan(one_in=10**6, clear=1)
    bench = opened(shop, facts=FactsOfCheck(KeptIndex(), plan=plan))
    first = bag_of(shop, WEIGHED)

    assert enter(bench, WEIGHED, f"{first.target_g:.2f}").big == "PASSED"
    say = enter(bench, "B2603020004")

    assert say.headline == "Bag B2603020004 not checked, by the sampling plan: 1 in 1000000 after 1."
    assert (bag_of(shop, "B2603020004").state, bag_of(shop, "B2603020004").gross_g) == (BagState.PASSED, None)
    assert "in hand" in enter(bench, "B2603020001").headline  # a look-alike lies close by: always checked


def test_a_pulled_bag_is_sent_back_to_its_bin(shop):
    """The bench that no longer knows the bag says why it was pulled and where its pieces belong."""
    bag = bag_of(shop, WEIGHED)
    with shop.writing() as books:
        pull_bags(books, [bag], "the customer wants less", at=AT, person="clara")
    bench = opened(shop)

    say = enter(bench, WEIGHED)

    back = f"{bag.pieces} {bag.part_number}"
    assert (say.headline, say.sound) == (
        f"Bag {WEIGHED} was pulled: the customer wants less. Its {back} go back into bin {bag.bin_code}.",
        Sound.REFUSED,
    )
    put_back(shop, WEIGHED, at=AT, person="clara")
    say = enter(bench, WEIGHED)
    belong = f"Its {back} belong in bin {bag.bin_code}."
    assert say.headline == f"Bag {WEIGHED} was pulled and is back in the books. {belong}"
