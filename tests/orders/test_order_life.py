"""An order's life: changed, pulled, cancelled, combined; short, made, completed; claimed, sent back, forgotten."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from functools import partial
from math import hypot, sqrt
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.claims import add_claim, claim_frame, evidence_of, settle_claim, take_back
from fulfil.despatch.kit_labels import kit_label_sheets
from fulfil.despatch.order_papers import evidence_sheet, make_list_sheet, partial_note_sheet, pull_slip_sheets
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.report import line_balances
from fulfil.despatch.ship import close_manifest
from fulfil.errors import StateRefused, UnknownRefused, WeighingRefused
from fulfil.orders.changing import change_address, change_lines, change_notes, change_service
from fulfil.orders.combining import combine_orders, look_alike_orders
from fulfil.orders.forgetting import FORGOTTEN, forget_customers
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.orders.importing import add_order
from fulfil.orders.kits import set_kit
from fulfil.orders.pulling import put_back
from fulfil.planning.allocation import Rule
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, Supply, UnitWeight, WeightSource
from fulfil.records.pieces import Owed, OwedBalance, StockEntry, bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement, Side
from fulfil.records.plan import Bag, CountMethod, WalkRecord
from fulfil.records.settings import Settings
from fulfil.shop.printing import print_papers
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.stock.levels import (
    adjust_bin,
    count_bin,
    ledger_levels,
    level_frame,
    movement_frame,
    receive,
    reject_pieces,
    reorder_frame,
    reorder_point,
)
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from tests.who import Who

NOW = datetime(2026, 3, 2, 8, tzinfo=UTC)
DAY = date(2026, 3, 2)
WHO = Who(at=NOW, person="ann")
PARTS = {"BALL": (0.11, Supply.BUY, 400), "GEAR": (3.2, Supply.MAKE, 9), "NUT": (0.4, Supply.BUY, 90)}


def fill(shop: Shop) -> None:
    """Three parts, a bin each, one scale for bags and one for packages, two services."""
    with shop.writing() as books:
        for place, (number, (mean_g, supply, _)) in enumerate(PARTS.items()):
            books.add([
                Part(number=number, description=f"Invented {number}", family=number.lower(), bulk_volume_mm3=50.0,
                     longest_mm=5, supply=supply, supplier="Invented Supplier", price_minor=10, currency="EUR"),
                UnitWeight(part_number=number, mean_g=mean_g, u_g=mean_g / 5000, piece_sd_g=mean_g / 500,
                           sample_pieces=100, source=WeightSource.SAMPLED),
                Bin(code=f"bin-{number}", aisle="1", side=Side.LEFT, section=1, level=1, y_mm=500 * place,
                    part_number=number, pieces=0),
            ])  # fmt: skip
        books.add([
            *(RoomElement(kind=ElementKind.AISLE, name=str(n), x_mm=2000 * n) for n in (1, 2)),
            RoomElement(kind=ElementKind.CROSS_AISLE, name="front", y_mm=0),
            RoomElement(kind=ElementKind.CROSS_AISLE, name="back", y_mm=9000),
            RoomElement(kind=ElementKind.BENCH, name="bench", x_mm=2000, y_mm=0),
            ScaleRecord(code="S", accuracy_class="II", e_g=Decimal("0.01"), d_g=Decimal("0.01"), max_g=Decimal(600),
                        min_g=Decimal("0.2"),
                        repeatability_g=0.004),
            ScaleRecord(code="P", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.1"), max_g=Decimal(6000),
                        min_g=Decimal(5), use="packages"),
            BagType(code="bag", width_mm=60, height_mm=80, usable_volume_mm3=37_000, tare_g=Decimal("0.62"),
                    tare_sd_g=0.004,
                    max_load_g=Decimal(200)),
            BoxType(code="box", length_mm=160, width_mm=110, height_mm=60, tare_g=Decimal(58), tare_sd_g=0.3,
                    max_load_g=Decimal(2000),
                    fill_fraction=0.7),
            Service(code="road", name="Road (invented)", kind=ServiceKind.PARCEL, countries="DE LU", cut_off=time(16,
                                                                                                                  30),
                    max_weight_g=Decimal(30000)),
            Service(code="post", name="Post (invented)", kind=ServiceKind.POSTAL, cut_off=time(14, 0),
                    max_weight_g=Decimal(2000)),
        ])  # fmt: skip
        books.replace([Settings(shop_name="Shop (invented)", street="1 Sample Lane", city="Sampleton", country="LU")])
        stock = [
            bin_move(part_number=number, bin_code=f"bin-{number}", pieces=level, reason="counted", source="first count")
            for number, (_, _, level) in PARTS.items()
        ]
        books.move(stock=stock, **WHO)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The small invented shop."""
    with open_shop(tmp_path / "shop.db", create=True, wait_s=5) as opened:
        fill(opened)
        yield opened


def order(shop: Shop, number: str, *asked: tuple[str, int], minutes: int = 0, **more: Any) -> None:
    """Takes an order."""
    given: dict[str, Any] = {"name": "Invented Person", "street": "Sample Street 1", "city": "Sampleton",
                             "country": "DE", "service_code": "road", "currency": "EUR",
                             "source": "phone"} | more  # fmt: skip
    taken = Order(number=number, received_at=NOW + timedelta(minutes=minutes), **given)
    lines = [
        OrderLine(order_number=number, line_no=no, part_number=part, pieces=n, unit_price_minor=10)
        for no, (part, n) in enumerate(asked, start=1)
    ]
    assert add_order(shop, taken, lines, **WHO) == []


def plan(shop: Shop, tmp_path: Path | None = None) -> None:
    """Plans; with a folder releases too."""
    plan_day(shop, day=DAY, **WHO, effort="none")
    if tmp_path is not None:
        release(shop)


def release(shop: Shop) -> None:
    """Books the release of all walks, without their papers."""
    from fulfil.walks.releasing import release_walk

    with shop.writing() as books:
        for walk in books.find(WalkRecord):
            if walk.released_at is None:
                release_walk(books, walk, **WHO)


def check_all(shop: Shop, number: str) -> None:
    """Every bag of an order passes its check."""
    for bag in found(shop, Bag, order_number=number):
        if bag.state.value == "planned":
            seen = Seen(counted=bag.pieces, gross_g=bag.target_g, scale_code=bag.scale_code)
            if bag.method is CountMethod.HAND:
                seen = Seen(counted=bag.pieces, gross_g=Decimal("9.50"), scale_code="S")
            check_bag(shop, bag.code, seen, **WHO)


def send(shop: Shop, number: str) -> None:
    """Checks, packs, weighs and ships an order."""
    check_all(shop, number)
    for package in plan_packages(shop, number, **WHO).packages:
        assert weigh_package(shop, package.number, package.expected_g, **WHO).package.state.value == "sealed"
    close_manifest(shop, "road", day=DAY, **WHO)


def found(shop: Shop, kind, **equals):
    """Records of a kind."""
    with shop.reading() as books:
        return books.find(kind, **equals)


def one(shop: Shop, kind, *key):
    """The record with a key."""
    with shop.reading() as books:
        return books.need(kind, *key)


def pieces_agree(shop: Shop) -> bool:
    """Counted = on hand + in bags + pulled + sent, and the ledger gives every level."""
    from fulfil_demo_catalog.demo_week import piece_sums

    with shop.reading() as books:
        levels = {place.code: place.pieces for place in books.find(Bin)}
        return piece_sums(books).agree and ledger_levels(books) == levels


def test_cancelled_after_release_pulls_its_bags_and_a_slip_says_which(shop: Shop, tmp_path: Path) -> None:
    """One bag was checked, one wasn't: both come back to their bins, to the piece."""
    order(shop, "A-1", ("BALL", 50), ("NUT", 20))
    plan(shop, tmp_path)
    first = found(shop, Bag, order_number="A-1")[0]
    check_bag(shop, first.code, Seen(gross_g=first.target_g), **WHO)

    done = cancel_order(shop, "A-1", "changed her mind", **WHO)

    assert done.order.state is OrderState.CANCELLED
    assert sorted((bag.part_number, bag.pieces) for bag in done.pulled) == [("BALL", 50), ("NUT", 20)]
    assert found(shop, Bag) == found(shop, OwedBalance, place=Owed.PROMISED) == []
    assert [place.pieces for place in found(shop, Bin)] == [350, 9, 70]
    assert pieces_agree(shop)
    slips = partial(pull_slip_sheets, number="A-1", reason="cancelled", tells=(), pulled=done.pulled, day=DAY)
    (slip,) = print_papers(shop, tmp_path, slips)
    assert slip.read_bytes().startswith(b"%PDF")
    for bag in done.pulled:
        put_back(shop, bag.bag_code, **WHO)
    assert [place.pieces for place in found(shop, Bin)] == [400, 9, 90]
    assert pieces_agree(shop)
    with pytest.raises(StateRefused, match="it was put back"):
        put_back(shop, done.pulled[0].bag_code, **WHO)


def test_fewer_pieces_after_release_pulls_the_fewest_bags(shop: Shop, tmp_path: Path) -> None:
    """Half of a released line is wanted: its bag is pulled and the rest planned onto another walk."""
    order(shop, "A-1", ("BALL", 60))
    plan(shop, tmp_path)

    done = change_lines(shop, "A-1", {1: 30}, **WHO, reason="called")

    assert sum(bag.pieces for bag in done.pulled) == 60
    assert one(shop, OrderLine, "A-1", 1).cancelled_pieces == 30
    (waits,) = found(shop, OwedBalance, place=Owed.WAITING)
    assert waits.pieces == 30
    plan(shop, tmp_path)
    assert [bag.pieces for bag in found(shop, Bag)] == [30]
    assert one(shop, OrderLine, "A-1", 1).short_pieces == 0
    assert pieces_agree(shop)


def test_more_pieces_and_a_new_line_before_release_are_planned_anew(shop: Shop) -> None:
    """The plan of the order is taken back; the next one has all of it."""
    order(shop, "A-1", ("BALL", 10))
    plan(shop)

    change_lines(shop, "A-1", {1: 25}, **WHO, added=[("NUT", 5)])

    assert found(shop, OwedBalance, place=Owed.PROMISED) == []
    plan(shop)
    assert sorted((bag.part_number, bag.pieces) for bag in found(shop, Bag)) == [("BALL", 25), ("NUT", 5)]


def test_address_and_service_by_stage(shop: Shop, tmp_path: Path) -> None:
    """Before boxes freely; sealed only within the country and with new labels; shipped not at all."""
    order(shop, "A-1", ("BALL", 10))
    change_address(shop, "A-1", {"street": "Sample Street 9"}, **WHO)
    with pytest.raises(StateRefused, match="a service that goes to FR"):
        change_address(shop, "A-1", {"country": "FR"}, **WHO)
    with pytest.raises(UnknownRefused):
        change_address(shop, "A-1", {"colour": "red"}, **WHO)
    assert change_service(shop, "A-1", "post", **WHO).order.service_code == "post"
    change_service(shop, "A-1", "road", **WHO)
    plan(shop, tmp_path)
    check_all(shop, "A-1")
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    undone = change_service(shop, "A-1", "post", **WHO)
    assert undone.tells == (f"Package {package.number}: take its bags out again; its boxes are chosen anew.",)
    change_service(shop, "A-1", "road", **WHO)
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    weigh_package(shop, package.number, package.expected_g, **WHO)
    told = change_address(shop, "A-1", {"street": "Sample Street 8"}, **WHO).tells
    assert told == (f"Package {package.number}: print its labels and the packing list again, cover the old ones.",)
    for attempt in (
        lambda: change_address(shop, "A-1", {"country": "LU"}, **WHO),
        lambda: change_service(shop, "A-1", "post", **WHO),
        lambda: change_lines(shop, "A-1", {1: 5}, **WHO),
        lambda: cancel_order(shop, "A-1", "late", **WHO),
    ):
        with pytest.raises(StateRefused, match="reopen"):
            attempt()
    close_manifest(shop, "road", day=DAY, **WHO)
    with pytest.raises(StateRefused, match="something is still owed"):
        change_address(shop, "A-1", {"street": "Sample Street 7"}, **WHO)
    assert one(shop, Order, "A-1").street == "Sample Street 8"


def test_notes_reach_who_has_the_order_in_hand(shop: Shop, tmp_path: Path) -> None:
    """Before release the pick list has it; after, the bench is told."""
    order(shop, "A-1", ("BALL", 10))
    assert change_notes(shop, "A-1", **WHO, picker="one lot").tells == ()
    plan(shop, tmp_path)
    assert change_notes(shop, "A-1", **WHO, picker="shiny ones").tells == ("Picker, of order A-1: shiny ones",)


def test_a_resumed_order_was_not_received_again(shop: Shop) -> None:
    """The journal says held, then resumed; resuming wrote a second 'order received' once."""
    order(shop, "A-1", ("BALL", 10))
    hold_order(shop, "A-1", "address unclear", **WHO)
    resume_order(shop, "A-1", **WHO)

    events = [entry.event for entry in found(shop, JournalEntry) if entry.subject == "A-1"]

    assert events == ["order received", "order held", "order resumed"]


def test_held_orders_go_on_from_where_their_bags_are(shop: Shop, tmp_path: Path) -> None:
    """Before release the promise is given back; after, the bags stay."""
    order(shop, "A-1", ("BALL", 10))
    plan(shop)
    hold_order(shop, "A-1", "address unclear", **WHO)
    assert found(shop, OwedBalance, place=Owed.PROMISED) == []
    assert resume_order(shop, "A-1", **WHO).state is OrderState.RECEIVED
    plan(shop, tmp_path)
    hold_order(shop, "A-1", "address unclear", **WHO)
    assert resume_order(shop, "A-1", **WHO).state is OrderState.RELEASED
    assert len(found(shop, Bag)) == 1


def test_orders_of_one_person_and_day_are_offered_and_combined(shop: Shop) -> None:
    """Two of three orders look alike, and ask for the same; together they are one, and no piece is ordered twice."""
    order(shop, "A-1", ("BALL", 10))
    order(shop, "A-2", ("BALL", 10), minutes=30, name="INVENTED person", note_packer="gift")
    order(shop, "A-3", ("BALL", 10), name="Somebody Else")
    with shop.reading() as books:
        (alike,) = look_alike_orders(books)
    assert (alike.numbers, alike.is_same_twice) == (("A-1", "A-2"), True)

    lines = combine_orders(shop, "A-1", ["A-2"], **WHO)

    assert [(line.order_number, line.line_no, line.pieces) for line in lines] == [("A-1", 1, 10), ("A-1", 2, 10)]
    assert one(shop, Order, "A-2").held_reason == "combined into A-1"
    assert one(shop, Order, "A-1").note_packer == "gift"
    assert sum(line.pieces for line in found(shop, OrderLine)) == 30
    with pytest.raises(StateRefused, match="two orders or more of one person"):
        combine_orders(shop, "A-1", ["A-3"], **WHO)


def test_a_made_part_completes_the_orders_that_wait_and_replans_only_those(shop: Shop, tmp_path: Path) -> None:
    """9 gears for orders of 6 and 12: the second is short of 9; the make-room's 9 complete it."""
    order(shop, "A-1", ("GEAR", 6))
    order(shop, "A-2", ("GEAR", 12), ("BALL", 10), minutes=1)
    plan(shop, tmp_path)
    line = one(shop, OrderLine, "A-2", 1)
    assert (line.short_pieces, line.short_reason) == (
        9, "9 of 12 short: 3 were free at its turn; served before: A-1 (6)"
    )  # fmt: skip
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    assert (job.part_number, job.pieces, job.due) == ("GEAR", 9, datetime(2026, 3, 2, 16, 30, tzinfo=UTC))
    assert make_jobs(shop, Supply.MAKE, day=DAY, **WHO) == [job]
    assert print_papers(shop, tmp_path, partial(make_list_sheet, day=DAY, at=NOW))[0].read_bytes().startswith(b"%PDF")
    before = found(shop, Bag, order_number="A-1")
    with pytest.raises(WeighingRefused, match="counted"):
        book_in(shop, job.number, day=DAY, **WHO, counted=11, gross_g=Decimal("28.80"), scale_code="S")

    done = book_in(shop, job.number, day=DAY, **WHO, gross_g=Decimal("28.80"), scale_code="S")

    assert (done.pieces, done.says, done.orders) == (9, "9 pieces, 95 % sure.", ("A-2",))
    assert done.job.is_closed
    assert found(shop, Bag, order_number="A-1") == before
    assert [walk.released_at is None for walk in found(shop, WalkRecord)] == [False, True]
    assert sum(bag.pieces for bag in found(shop, Bag, order_number="A-2", line_no=1)) == 12
    release(shop)
    send(shop, "A-1")
    send(shop, "A-2")
    assert {order.state for order in found(shop, Order)} == {OrderState.SHIPPED}
    assert pieces_agree(shop)


def test_pieces_owed_by_a_shipped_order_follow_the_next_day(shop: Shop, tmp_path: Path) -> None:
    """Shipped short with a note; bought pieces come; the rest goes out in a package of its own."""
    order(shop, "A-1", ("NUT", 100), ("BALL", 5))
    plan(shop, tmp_path)
    assert partial_note_is_refused_before(shop, tmp_path)
    send(shop, "A-1")
    assert one(shop, OrderLine, "A-1", 1).short_pieces == 10
    assert partial_note(shop, "A-1", tmp_path)[0].read_bytes().startswith(b"%PDF")
    (job,) = make_jobs(shop, Supply.BUY, day=DAY, **WHO)

    book_in(shop, job.number, day=DAY, **WHO, counted=10)

    assert one(shop, Order, "A-1").state is OrderState.ALLOCATED
    release(shop)
    send(shop, "A-1")
    assert one(shop, Order, "A-1").state is OrderState.SHIPPED
    with shop.reading() as books:
        sheet = packing_list_sheet(books, books.need(Order, "A-1"), day=DAY)
        nut, ball = line_balances(books, ["A-1"])
    assert [(line.inside, line.sent_before, line.to_follow) for line in sheet.lines] == [(10, 90, 0), (0, 5, 0)]
    assert (nut.shipped, ball.shipped, nut.in_hand, ball.in_hand) == (100, 5, 0, 0)
    assert pieces_agree(shop)


def partial_note(shop: Shop, number: str, out: Path) -> list[Path]:
    """The note, printed."""
    order = one(shop, Order, number)
    return print_papers(shop, out, partial(partial_note_sheet, order=order, day=DAY, at=NOW))


def partial_note_is_refused_before(shop: Shop, tmp_path: Path) -> bool:
    """An order that is complete has no note."""
    order(shop, "A-9", ("BALL", 1))
    with pytest.raises(StateRefused, match="an order of which pieces follow"):
        partial_note(shop, "A-9", tmp_path)
    return cancel_order(shop, "A-9", "a test", **WHO).pulled == ()


def test_a_kit_goes_out_as_its_parts_and_is_shown_whole(shop: Shop, tmp_path: Path) -> None:
    """Two kits of 10 balls and 4 gears: stock, bags and checks know parts; packing list and balance know two kits."""
    with shop.writing() as books:
        kit = Part(number="KIT", description="Invented kit", family="kit", bulk_volume_mm3=900.0, longest_mm=30,
                   supply=Supply.MAKE, price_minor=990, currency="EUR")  # fmt: skip
        books.add([kit])
    set_kit(shop, "KIT", [("BALL", 10), ("GEAR", 4)], **WHO)
    order(shop, "A-1", ("KIT", 3))
    plan(shop, tmp_path)

    assert one(shop, OrderLine, "A-1", 1).short_pieces == 1
    assert sorted((bag.part_number, bag.pieces) for bag in found(shop, Bag)) == [("BALL", 20), ("GEAR", 8)]
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    assert (job.part_number, job.pieces) == ("GEAR", 3)
    with pytest.raises(StateRefused, match="in no order that waits"):
        set_kit(shop, "KIT", [("NUT", 1)], **WHO)
    check_all(shop, "A-1")
    with shop.reading() as books:
        (label,) = kit_label_sheets(books, "A-1")
    assert (label.part_number, label.pieces, label.note) == ("KIT", 2, "2 bags in this one, scale S")
    weights = [bag.gross_g for bag in found(shop, Bag)]
    assert label.target_g == sum(weights, Decimal("0.62"))
    bag_u_g, scale_u_g = (bag.gross_u_g for bag in found(shop, Bag)), 0.004
    sd_g = hypot(*bag_u_g, 0.004, scale_u_g, 0.01 / sqrt(12))
    half_g = NormalDist().inv_cdf(1 - 0.005 / 2) * sd_g
    assert label.upper_g - label.target_g == label.target_g - label.lower_g
    assert half_g <= float(label.upper_g - label.target_g) < half_g + 0.01
    send(shop, "A-1")
    with shop.reading() as books:
        (balance,) = line_balances(books, ["A-1"])
        (line,) = packing_list_sheet(books, books.need(Order, "A-1"), day=DAY).lines
    assert (balance.shipped, balance.short, balance.in_hand) == (2, 1, 0)
    assert (line.part_number, line.inside, line.to_follow) == ("KIT", 2, 1)
    assert pieces_agree(shop)


def test_two_short_is_answered_with_evidence(shop: Shop, tmp_path: Path) -> None:
    """Each bag with its weighing, window, checker and package, and how sure its count is; printed to be sent."""
    order(shop, "A-1", ("GEAR", 9))
    plan(shop, tmp_path)
    send(shop, "A-1")
    claim = add_claim(shop, "A-1", 1, ClaimCause.SHORT, **WHO, pieces=2)
    with shop.reading() as books:
        evidence = evidence_of(books, "A-1", 1)
    (bag,) = evidence.bags

    assert bag.p_right is not None
    assert bag.p_right > 0.999
    assert (bag.checker, bag.package.state.value, len(bag.weighings)) == ("ann", "shipped", 1)
    assert evidence.claims == (claim,)
    assert (
        print_papers(shop, tmp_path, partial(evidence_sheet, found=evidence, day=DAY))[0]
        .read_bytes()
        .startswith(b"%PDF")
    )
    settled = settle_claim(shop, claim.number, "the weight says nine", **WHO)
    assert settled.is_settled
    with shop.reading() as books:
        assert claim_frame(books).to_dict("records") == [{"part": "GEAR", "cause": "short", "claims": 1, "pieces": 2}]


def test_a_lot_that_weighs_differently_makes_no_count_doubtful(shop: Shop, tmp_path: Path) -> None:
    """Two gears of the right weight may come from another lot or a moved zero too, but two they are."""
    order(shop, "A-1", ("GEAR", 2))
    plan(shop, tmp_path)
    (bag,) = found(shop, Bag)
    check_bag(shop, bag.code, Seen(gross_g=bag.target_g), at=NOW, person="ann")
    with shop.reading() as books:
        (evidence,) = evidence_of(books, "A-1", 1).bags

    assert evidence.p_right is not None
    assert evidence.p_right > 0.999


def test_returned_pieces_are_counted_and_booked_back_or_scrapped(shop: Shop, tmp_path: Path) -> None:
    """Of nine gears two come back by weight, one is scrapped; no more can come back than was sent."""
    order(shop, "A-1", ("GEAR", 9))
    plan(shop, tmp_path)
    send(shop, "A-1")

    back = take_back(shop, "A-1", 1, Outcome.BOOKED_BACK, "too many", **WHO, gross_g=Decimal("6.40"), scale_code="S")
    take_back(shop, "A-1", 1, Outcome.SCRAPPED, "bent", **WHO, counted=1)

    assert back.pieces == 2
    assert one(shop, Bin, "bin-GEAR").pieces == 2
    reasons = [(entry.reason, entry.bin_change) for entry in found(shop, StockEntry) if entry.bin_code == "bin-GEAR"]
    assert reasons[-3:] == [("returned", 2), ("returned", 1), ("scrapped", -1)]
    with pytest.raises(StateRefused, match="at most the 6 pieces of GEAR that its customer has"):
        take_back(shop, "A-1", 1, Outcome.BOOKED_BACK, "all", **WHO, counted=7)
    assert pieces_agree(shop)


def test_rejects_leave_their_bin_and_made_ones_go_onto_the_make_list(shop: Shop) -> None:
    """Four bad gears become a job, bad nuts only leave."""
    done = reject_pieces(shop, "bin-GEAR", 4, "burred teeth", day=DAY, **WHO)
    assert (done.after, done.job.pieces, done.job.reason) == (5, 4, "rejected: burred teeth")
    assert reject_pieces(shop, "bin-NUT", 2, "no thread", day=DAY, **WHO).job is None
    assert [job.part_number for job in make_jobs(shop, Supply.MAKE, day=DAY, **WHO)] == ["GEAR"]
    with pytest.raises(StateRefused):
        reject_pieces(shop, "bin-GEAR", 6, "more than there are", day=DAY, **WHO)
    assert pieces_agree(shop)


def test_a_count_below_what_is_promised_says_who_waits(shop: Shop) -> None:
    """10 of 50 promised pieces are there: the order is named, and the next plan promises no more than 10."""
    order(shop, "A-1", ("BALL", 50))
    plan(shop)
    done = count_bin(shop, "bin-BALL", 10, **WHO)

    assert (done.before, done.after) == (400, 10)
    assert [str(finding) for finding in done.findings] == [
        "bin bin-BALL, pieces '10': 50 pieces are promised to A-1, the bin holds 10. "
        "Do: plan again before release (fulfil walks plan)."
    ]
    plan(shop)
    assert sum(bag.pieces for bag in found(shop, Bag)) == 10
    assert one(shop, OrderLine, "A-1", 1).short_pieces == 40


def test_every_change_has_a_reason_and_levels_come_from_the_ledger(shop: Shop) -> None:
    """Counts, adjustments and deliveries; their sum is each bin's level."""
    adjust_bin(shop, "bin-NUT", -3, "used for the display", **WHO)
    receive(shop, "bin-NUT", 20, "delivery note 7", **WHO)
    with pytest.raises(StateRefused, match="a change and a reason"):
        adjust_bin(shop, "bin-NUT", 5, " ", **WHO)
    with pytest.raises(StateRefused, match="at most its 107 pieces"):
        adjust_bin(shop, "bin-NUT", -108, "stolen", **WHO)
    with shop.reading() as books:
        assert ledger_levels(books) == {"bin-BALL": 400, "bin-GEAR": 9, "bin-NUT": 107}
        row = level_frame(books, ["NUT"]).to_dict("records")
    assert row == [{"part": "NUT", "on_hand": 107, "promised": 0, "free": 107, "short": 0, "to_come": 0}]


def test_reorder_point_of_a_worked_example() -> None:
    """Mean 10 and s.d. 3.27 a week, two weeks' lead, 95 %: 20 + 1.645 · 3.27 · √2 = 27.6, so 28.

    The formula is that of Silver, Pyke & Peterson (1998), section 7.4; the figures are our own.
    """
    assert reorder_point([10, 14, 6, 10], lead_days=14, service_level=0.95) == 28
    assert reorder_point([5, 5, 5], lead_days=7, service_level=0.99) == 5
    assert reorder_point([0, 0], lead_days=7, service_level=0.99) == 0


def test_fast_and_dead_stock(shop: Shop, tmp_path: Path) -> None:
    """What was picked is fast, what lay is dead, and the one that ran low is to be ordered."""
    order(shop, "A-1", ("NUT", 85), ("BALL", 1))
    plan(shop, tmp_path)
    check_all(shop, "A-1")
    with shop.reading() as books:
        movement = movement_frame(books, until=DAY).set_index("part")
        reorder = reorder_frame(books, until=DAY).set_index("part")

    assert movement["class"].to_dict() == {"NUT": "fast", "BALL": "slow", "GEAR": "dead"}
    assert movement.at["NUT", "weeks_of_cover"] == 0.5
    assert reorder["order_now"].to_dict() == {"NUT": True, "BALL": False}


def test_customers_are_forgotten_and_counts_stay(shop: Shop, tmp_path: Path) -> None:
    """Names and addresses of old shipped orders go; pieces, country and service stay; what owes pieces is kept."""
    order(shop, "A-1", ("BALL", 10), email="person@example.net")
    order(shop, "A-2", ("NUT", 100), minutes=1)
    plan(shop, tmp_path)
    check_all(shop, "A-2")
    for package in plan_packages(shop, "A-2", **WHO).packages:
        weigh_package(shop, package.number, package.expected_g, **WHO)
    send(shop, "A-1")

    done = forget_customers(shop, NOW + timedelta(days=1), **WHO)

    assert (done.orders, done.still_open) == (("A-1",), ("A-2",))
    gone = one(shop, Order, "A-1")
    assert (gone.name, gone.street, gone.email, gone.country) == (FORGOTTEN, FORGOTTEN, "", "DE")
    assert one(shop, OrderLine, "A-1", 1).pieces == 10
    assert forget_customers(shop, NOW + timedelta(days=1), **WHO).orders == ()


@pytest.mark.parametrize("rule", Rule)
def test_two_stations_plan_at_once_and_no_piece_is_promised_twice(shop: Shop, tmp_path: Path, rule: Rule) -> None:
    """Four stations take orders and plan at the same time: promises never exceed the bins."""
    from concurrent.futures import ThreadPoolExecutor

    with shop.writing() as books:
        books.replace([books.settings().model_copy(update={"allocation_rule": rule.value})])

    def station(name: int) -> None:
        with open_shop(tmp_path / "shop.db", wait_s=30) as own:
            for n in range(3):
                order(own, f"S{name}-{n}", ("BALL", 60), ("GEAR", 2), minutes=n)
                plan_day(own, day=DAY, at=NOW, person=f"station {name}", effort="none")

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(station, range(4)))

    promised: dict[str, int] = {}
    for promise in found(shop, OwedBalance, place=Owed.PROMISED):
        promised[promise.ref] = promised.get(promise.ref, 0) + promise.pieces
    assert promised == {"bin-BALL": 400, "bin-GEAR": 9}
    assert sum(line.short_pieces for line in found(shop, OrderLine)) == 12 * 62 - 409
