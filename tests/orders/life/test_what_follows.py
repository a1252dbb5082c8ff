"""What a shop owes after the first day: made parts, pieces that follow, kits, claims and their evidence."""

from datetime import UTC, datetime
from decimal import Decimal
from functools import partial
from math import hypot, sqrt
from pathlib import Path
from statistics import NormalDist

import pytest

from fulfil.bench.check import Seen, check_bag
from fulfil.despatch.claims import add_claim, claim_frame, evidence_of, settle_claim, take_back
from fulfil.despatch.desk.evidence_paper import evidence_sheet
from fulfil.despatch.kit_labels import kit_label_sheets
from fulfil.despatch.order_papers import make_list_sheet
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.report import line_balances
from fulfil.errors import StateRefused, WeighingRefused
from fulfil.orders.kits import set_kit
from fulfil.records.despatch.claim import ClaimCause
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part, Supply
from fulfil.records.pieces import StockEntry
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.shop.printing import print_papers
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.store.shop import Shop
from tests.orders.life.steps import (
    DAY,
    NOW,
    WHO,
    check_all,
    found,
    one,
    order,
    partial_note,
    partial_note_is_refused_before,
    pieces_agree,
    plan,
    release,
    send,
)


def test_a_made_part_completes_the_orders_that_wait_and_replans_only_those(shop: Shop, tmp_path: Path) -> None:
    """9 gears for orders of 6 and 12: the second is short of 9; the make-room's 9 complete it.

    They are due 30 minutes (to check and to pack) before the cut-off at 16:30, not at it.
    """
    order(shop, "A-1", ("GEAR", 6))
    order(shop, "A-2", ("GEAR", 12), ("BALL", 10), minutes=1)
    plan(shop, tmp_path)
    line = one(shop, OrderLine, "A-2", 1)
    assert (line.short_pieces, line.short_reason) == (
        9, "9 of 12 short: 3 were free at its turn; served before: A-1 (6)"
    )  # fmt: skip
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    assert (job.part_number, job.pieces, job.due) == ("GEAR", 9, datetime(2026, 3, 2, 16, 0, tzinfo=UTC))
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
