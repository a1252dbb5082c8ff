"""Walks of a small shop over the day: from the nearer bin, proven, by cut-off, shared out, timed, and learned from."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from fulfil.errors import PlanRefused, StateRefused
from fulfil.orders.moving import take_back_plan
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import Owed, OwedBalance, bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, PlanRecord, WalkRecord
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.compare import compare_walks
from fulfil.walks.moves import moves_of_bins
from fulfil.walks.plan import plan_day
from fulfil.walks.prove import plan_in_books, prove_plan
from fulfil.walks.room_check import check_shop
from fulfil.walks.times import BEGUN, ENDED, expected_seconds, say_walk, time_model_of, walk_times
from fulfil.walks.waves import schedule_walks
from tests.who import Who

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
DAY = date(2026, 3, 2)
WHO = Who(at=NOW, person="ann")
PLACES = {"A-1": ("A", "1", 2000), "B-1": ("B", "1", 4000), "C-2": ("C", "2", 9000), "D-3": ("D", "3", 3000)}
MORE = {"E-1": ("E", "1", 1000, 30), "E-2": ("E", "2", 8000, 40)}
ORDERS = {"O1": ("A", "B"), "O2": ("A",), "O3": ("C", "E"), "O4": ("C",), "O5": ("D",), "O6": ("D", "A")}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Three aisles of ten metres; parts A to D in a bin each, E in two; six orders, two carts' worth, two services."""
    with open_shop(tmp_path / "shop.sqlite", create=True) as opened:
        with opened.writing() as books:
            books.replace([Settings(cart_positions=3, check_and_pack_minutes=30)])
            books.add(
                [
                    *(RoomElement(kind=ElementKind.AISLE, name=str(n), x_mm=3000 * (n - 1)) for n in (1, 2, 3)),
                    RoomElement(kind=ElementKind.CROSS_AISLE, name="front"),
                    RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=10000),
                    RoomElement(kind=ElementKind.BENCH, name="bench"),
                    BagType(
                        code="S", width_mm=60, height_mm=80, usable_volume_mm3=30_000, tare_g=Decimal("0.9"),
                        tare_sd_g=0.02, max_load_g=Decimal(250),
                    ),
                    ScaleRecord(
                        code="BENCH", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.01"),
                        max_g=Decimal(600), min_g=Decimal("0.2"), use="bags",
                    ),
                    *(
                        Service(code=code, name=code, kind=ServiceKind.PARCEL, cut_off=at, max_weight_g=Decimal(0))
                        for code, at in (("early", time(10)), ("late", time(16)))
                    ),
                    *(
                        Part(
                            number=number, description=number, family="cam", bulk_volume_mm3=50.0, longest_mm=9,
                            supply=Supply.MAKE, price_minor=1, currency="EUR",
                        )
                        for number in "ABCDE"
                    ),
                ]
            )  # fmt: skip
            bins = [(code, *where, 30) for code, where in PLACES.items()] + [
                (code, *where) for code, where in MORE.items()
            ]
            books.add(
                Bin(code=code, aisle=aisle, side=Side.LEFT, section=1, level=1, y_mm=y, part_number=part, pieces=0)
                for code, part, aisle, y, _ in bins
            )
            books.move(
                stock=[
                    bin_move(part_number=part, bin_code=code, pieces=pieces, reason="counted", source="test")
                    for code, part, _, _, pieces in bins
                ],
                **WHO,
            )
            books.add_orders(
                (
                    Order(
                        number=number, source="web", received_at=NOW, name="Invented Person", street="Sample Street 1",
                        city="Sampletown", country="NA", service_code="early" if number == "O4" else "late",
                        currency="EUR",
                    ),
                    [
                        OrderLine(order_number=number, line_no=line, part_number=part, pieces=3, unit_price_minor=1)
                        for line, part in enumerate(parts, start=1)
                    ],
                )
                for number, parts in ORDERS.items()
            )  # fmt: skip
        yield opened


def test_a_part_in_two_bins_comes_from_the_one_on_the_way(shop):
    """E's emptier bin stands at the far end of aisle 3; the walk goes to aisle 2, so E comes from there."""
    with shop.writing() as books:
        books.replace([books.need(Bin, "E-1").model_copy(update={"aisle": "3", "y_mm": 9500})])
    plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books:
        (promised,) = [one for one in books.find(OwedBalance, place=Owed.PROMISED) if one.ref.startswith("E")]
        walk = books.need(WalkRecord, books.find(Bag, order_number="O3")[0].walk_number)
        on_walk = {bag.bin_code for bag in books.find(Bag, walk_number=walk.number)}

    assert promised.ref == "E-2"
    assert "E-1" not in on_walk


def test_a_bin_that_holds_too_little_is_left_alone(shop):
    """Two pieces in the bin on the way, three ordered: they come whole from the other one."""
    with shop.writing() as books:
        entry = bin_move(part_number="E", bin_code="E-2", pieces=-38, reason="counted", source="test")
        books.move(stock=[entry], **WHO)
    plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books:
        promised = books.find(OwedBalance, place=Owed.PROMISED)
        assert [one.ref for one in promised if one.ref.startswith("E")] == ["E-1"]


def test_the_plan_in_the_books_is_the_plan(shop):
    """Put together again from walks and bags: the same batches' lengths, the same sum; of the latest plan only."""
    planned, plan = plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books:
        again = plan_in_books(books, day=DAY)
    assert sorted(again.walks_mm) == sorted(plan.walks_mm)
    assert again.length_mm == planned.record.length_mm
    assert again.one_by_one_mm == planned.record.one_by_one_mm

    second, _ = plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books:
        assert {walk.wave for walk in books.find(WalkRecord)} == {2}
        assert plan_in_books(books, day=DAY).length_mm == second.record.length_mm == again.length_mm


def test_a_stopped_proof_keeps_what_it_has(shop):
    """Ctrl-C at the first sign of progress: that bound is written, and a better one later takes its place."""
    _, plan = plan_day(shop, day=DAY, **WHO)
    assert plan is not None
    met = []

    def stop(length_mm, bound_mm):
        met.append(bound_mm)
        raise KeyboardInterrupt

    stopped = prove_plan(shop, plan, day=DAY, **WHO, seconds=60, clock=lambda: 0.0, progress=stop)
    with shop.reading() as books:
        (kept,) = books.find(PlanRecord, day=DAY)
    proof = prove_plan(shop, plan, day=DAY, **WHO, seconds=60, clock=lambda: 0.0)
    with shop.reading() as books:
        (proven,) = books.find(PlanRecord, day=DAY)

    assert kept.bound_mm == stopped.bound_mm == met[0]
    assert proven.bound_mm == proof.bound_mm >= kept.bound_mm
    assert proven.bound_is_closed


def test_a_plan_whose_bins_moved_is_not_proven(shop):
    """The room changed after planning: the lengths on paper are no longer those of the stops."""
    plan_day(shop, day=DAY, **WHO)
    with shop.writing() as books:
        place = books.need(Bin, "C-2")
        books.replace([place.model_copy(update={"y_mm": 1000})])
    with shop.reading() as books, pytest.raises(StateRefused, match="bins where they were when it was planned"):
        plan_in_books(books, day=DAY)


def test_by_cut_off_no_cart_waits_for_another_service(shop):
    """Every walk's orders go with one cut-off, and the early one is walked first; the bound is that of any plan."""
    mixed, _ = plan_day(shop, day=DAY, **WHO)
    apart, plan = plan_day(shop, day=DAY, **WHO, by_cut_off=True)
    assert plan is not None
    with shop.reading() as books:
        service_of = {order.number: order.service_code for order in books.find(Order)}
        services = [
            {service_of[bag.order_number] for bag in books.find(Bag, walk_number=walk.number)} for walk in apart.walks
        ]
    proof = prove_plan(shop, plan, day=DAY, **WHO, seconds=60, clock=lambda: 0.0)

    assert [len(one) for one in services] == [1] * len(services)
    assert services[0] == {"early"}
    assert proof.bound_mm <= mixed.record.length_mm <= apart.record.length_mm


def test_the_cut_off_leaves_time_to_check_and_pack(shop):
    """Cut-off at ten, half an hour to check and pack: a walk must end by half past nine."""
    plan_day(shop, day=DAY, **WHO, by_cut_off=True)
    with shop.reading() as books:
        done = schedule_walks(books, day=DAY, pickers=1, begins=NOW.replace(hour=9), rng=np.random.default_rng(1))
        turn = done.waves.shared.turns[0]

    assert done.services[turn.walk].code == "early"
    assert turn.ends_s + turn.spare_s == 1800
    assert done.at(1800) == datetime(2026, 3, 2, 9, 30, tzinfo=UTC)


def test_a_walk_that_is_out_stays_with_its_picker(shop):
    """Begun five minutes ago it needs what is left of it, its picker is the first, and one more person takes the rest.

    A walk that has come to a bench is over, even if nobody said its end.
    """
    planned, _ = plan_day(shop, day=DAY, **WHO, by_cut_off=True)
    with shop.writing() as books:
        books.replace([walk.model_copy(update={"released_at": NOW}) for walk in planned.walks])
        whole_s = expected_seconds(books, [*planned.walks])
    out = planned.walks[1].number
    say_walk(shop, out, BEGUN, **WHO)
    at = NOW + timedelta(minutes=2)
    with shop.reading() as books:
        done = schedule_walks(books, day=DAY, pickers=2, begins=at, rng=np.random.default_rng(1))
        alone = schedule_walks(books, day=DAY, begins=at, rng=np.random.default_rng(1))
    turn = next(one for one in done.waves.shared.turns if one.walk == out)

    assert (turn.picker, turn.begins_s, done.hands[out].person) == (1, 0, "ann")
    assert whole_s[out] - 120 <= turn.ends_s < whole_s[out]
    assert all(one.picker == 2 for one in done.waves.shared.turns if one.begins_s == 0 and one.walk != out)
    assert alone.pickers == 1
    with shop.writing() as books:
        books.journal(at=at, person="bo", event=Happening.WALK_AT_BENCH, subject=out, particulars={"bench": "B"})
    with shop.reading() as books:
        over = schedule_walks(books, day=DAY, pickers=2, begins=at, rng=np.random.default_rng(1))
    assert out not in over.walks


def test_more_people_out_than_said_is_refused_and_an_end_not_said_is_told(shop):
    """Two are out, one picker is asked for: refused. Who begins a second walk has likely ended the first."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"cart_positions": 1})])
    planned, _ = plan_day(shop, day=DAY, **WHO)
    with shop.writing() as books:
        books.replace([walk.model_copy(update={"released_at": NOW}) for walk in planned.walks])
    first, second, third = (walk.number for walk in planned.walks[:3])
    say_walk(shop, first, BEGUN, at=NOW, person="ann")
    say_walk(shop, second, BEGUN, at=NOW, person="bo")
    with shop.reading() as books, pytest.raises(PlanRefused, match="at least the 2 who are out"):
        schedule_walks(books, day=DAY, pickers=1, begins=NOW, rng=np.random.default_rng(1))
    say_walk(shop, third, BEGUN, at=NOW + timedelta(minutes=9), person="ann")
    with shop.reading() as books:
        done = schedule_walks(books, day=DAY, begins=NOW + timedelta(minutes=9), rng=np.random.default_rng(1))

    assert [entry.subject for entry in done.not_said] == [first]
    assert sorted(done.hands) == sorted([second, third])
    assert first not in done.walks


def test_each_service_of_a_walk_has_its_own_limit(shop):
    """All orders on one cart: the early service and the late one wait for the same walk, by different hours."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"cart_positions": 6})])
    plan_day(shop, day=DAY, **WHO)
    at = datetime(2026, 3, 2, 9, 29, tzinfo=UTC)
    with shop.reading() as books:
        done = schedule_walks(books, day=DAY, pickers=1, begins=at, rng=np.random.default_rng(1))
    early, late = done.foreseen

    assert len(done.walks) == 1
    assert (early.service, late.service) == ("early", "late")
    assert early.likely_s == late.likely_s
    assert early.chance_late > 0.99 > 0.01 > late.chance_late
    assert early.helps == ()


def test_times_are_learned_exactly_from_walks_that_kept_to_a_rule(shop):
    """Walks timed at 1 m/s, 20 s a line and 60 s set-up, in whole seconds: that is what is learned."""
    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"cart_positions": 1})])
    planned, _ = plan_day(shop, day=DAY, **WHO)
    with shop.writing() as books:
        books.replace([walk.model_copy(update={"released_at": NOW}) for walk in planned.walks])
        lines = {walk.number: books.count(Bag, walk_number=walk.number) for walk in planned.walks}
    for walk in planned.walks:
        say_walk(shop, walk.number, BEGUN, **WHO)
        took = timedelta(seconds=walk.length_mm / 1000 + 20 * lines[walk.number] + 60)
        say_walk(shop, walk.number, ENDED, at=NOW + took, person="ann")
    with shop.writing() as books:
        books.journal(at=NOW, person="sim", event=BEGUN, subject=planned.walks[0].number, is_simulated=True)
    with shop.reading() as books:
        done = walk_times(books)

    assert len(done.walks) == len(ORDERS)
    assert done.learned.speed_mm_s == pytest.approx(1000)
    assert done.learned.line_s == pytest.approx(20)
    assert done.learned.set_up_s == pytest.approx(60)


def test_the_settings_make_the_time_model():
    """Metres to millimetres, and one reach for each level."""
    model = time_model_of(Settings(walk_m_per_s=1.2, reach_seconds_by_level="3 1.5", search_seconds_per_line=4.0))

    assert (model.speed_mm_s, model.reach_s, model.search_s, model.count_s) == (1200.0, (3.0, 1.5), 4.0, 25.0)


def test_a_walk_must_be_released_to_begin(shop):
    """A walk that isn't on paper can't be walked."""
    planned, _ = plan_day(shop, day=DAY, **WHO)

    with pytest.raises(StateRefused, match="expected a released walk"):
        say_walk(shop, planned.walks[0].number, BEGUN, **WHO)


def test_no_rule_of_thumb_is_shorter(shop):
    """Per walk and in sum; the sums are those of the rows."""
    planned, _ = plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books:
        done = compare_walks(books, day=DAY)

    assert done.length_mm == planned.record.length_mm
    for policy, length_mm in done.by_policy_mm.items():
        assert length_mm == sum(one.by_policy_mm[policy] for one in done.walks) >= done.length_mm
        assert all(one.by_policy_mm[policy] >= one.walk.length_mm for one in done.walks)


def test_moves_are_for_released_walks_and_few(shop):
    """Nothing walked yet: refused. Then the one exchange asked for saves what it says, and promised bins stay."""
    planned, _ = plan_day(shop, day=DAY, **WHO)
    with shop.reading() as books, pytest.raises(StateRefused, match="at least one released walk"):
        moves_of_bins(books, day=DAY, weeks=1, most=1)
    with shop.writing() as books:
        books.replace([walk.model_copy(update={"released_at": NOW}) for walk in planned.walks])
    with shop.reading() as books:
        assert moves_of_bins(books, day=DAY, weeks=1, most=1).moves == ()
    with shop.writing() as books:
        for number in ORDERS:
            take_back_plan(books, [number], at=NOW, person="ann")
    with shop.reading() as books:
        found = moves_of_bins(books, day=DAY, weeks=1, most=1)

    assert len(found.moves) == 1
    assert 0 < found.saved_mm == found.moves[0].saved_mm <= found.walked_mm == planned.record.length_mm
    # Two bins on the lowest level, each found (3 s) and reached (2 s) where it was and where it goes; one day.
    (move,) = found.moves
    assert move.work_s == pytest.approx(move.carried_mm / 800 + 4 * (3 + 2))
    assert move.payback_days == pytest.approx(move.work_s / (move.saved_mm / 800))
    with shop.reading() as books, pytest.raises(PlanRefused, match="Cannot suggest moves with weeks '0'"):
        moves_of_bins(books, day=DAY, weeks=0, most=1)


def test_the_room_of_a_shop_is_checked(shop):
    """A bin beyond the back wall, and one in no aisle at all: both are found, at once."""
    with shop.writing() as books:
        for code, change in (("A-1", {"y_mm": 12000}), ("B-1", {"aisle": "9"})):
            books.replace([books.need(Bin, code).model_copy(update=change)])
    with shop.reading() as books:
        checked = check_shop(books)

    assert sorted(finding.value for finding in checked.findings) == ["12000", "9"]
