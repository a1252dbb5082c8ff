"""Pieces that once vanished without a word, each as a story of a shop that is not the demo.

Every story begins on the first morning of the harbour shop (:mod:`tests.harbour_shop`). The rule behind all of them:
what a customer ordered is, to the piece, in bags, short, sent, cancelled, or waiting, and the shop says so when asked.
"""

from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.despatch.abroad.customs import review_hazards
from fulfil.despatch.advice import of_json
from fulfil.despatch.day_papers import day_report_sheet
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.package_papers import packing_list_sheet
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.report import report_day
from fulfil.errors import Refusal, StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order, hold_order, resume_order
from fulfil.records.despatch.customs import HazardReview
from fulfil.records.despatch.dispatch import Package
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.order import Order
from fulfil.records.part import Supply
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.store.shop import Shop
from tests.harbour_shop import (
    DAY,
    FILES,
    WHO,
    bags,
    check,
    key,
    level,
    levels,
    lines_of,
    pack,
    plan,
    release,
    send,
    ship,
    state_of,
    write_catalogue,
)

Say = Callable[..., dict]


def accounted(say: Say, number: str) -> dict[int, int]:
    """Of each line what ``orders show`` accounts for: in bags, short, cancelled."""
    shown = say("orders", "show", number)
    found = {}
    for line in shown["lines"]:
        in_bags = sum(bag["pieces"] for bag in shown["bags"] if bag["line_no"] == line["line_no"])
        found[line["line_no"]] = in_bags + line["short_pieces"] + line["cancelled_pieces"]
    return found


def in_bags(shop: Shop, number: str) -> dict[int, int]:
    """Of each line what lies in bags."""
    found: dict[int, int] = {}
    for bag in bags(shop, order_number=number):
        found[bag.line_no] = found.get(bag.line_no, 0) + bag.pieces
    return found


def unaccounted(shop: Shop, number: str) -> list[str]:
    """What the day's reconciliation can't place of an order once all that was at the bench has left."""
    findings = reconcile_day(shop, day=DAY).balance.findings
    return [str(finding) for finding in findings if finding.source.startswith(f"order {number},")]


def packing_rows(shop: Shop, number: str) -> dict[int, tuple[int, int, int, int, int]]:
    """The packing list by line: ordered, inside, to follow, sent before, cancelled."""
    with shop.reading() as books:
        sheet = packing_list_sheet(books, books.need(Order, number), day=DAY)
    return {
        row.line_no: (row.ordered, row.inside, row.to_follow, row.sent_before, row.cancelled) for row in sheet.lines
    }


def test_pieces_made_before_any_release_stay_promised_when_all_is_planned_again(shop: Shop, say: Say, tmp_path) -> None:
    """40 cams wanted, 28 there; 15 more are made, another order comes: both lines are promised, nothing is released."""
    key(shop, "A-1", ("CAM-7", 40), ("REED-A", 10))
    plan(shop)
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    book_in(shop, job.number, day=DAY, **WHO, counted=15)
    key(shop, "A-2", ("PIN-08", 5), minutes=5)

    plan(shop)

    assert accounted(say, "A-1") == {1: 40, 2: 10}
    assert in_bags(shop, "A-1") == {1: 40, 2: 10}
    assert state_of(shop, "A-1") == "allocated"
    release(shop, tmp_path)
    send(shop, "A-1")
    assert state_of(shop, "A-1") == "shipped"
    assert unaccounted(shop, "A-1") == []


def test_a_line_raised_after_release_keeps_what_is_planned_for_it(shop: Shop, say: Say, tmp_path) -> None:
    """10 on paper, then 30 wanted; however often the rest is planned again, all 30 leave."""
    key(shop, "A-1", ("SCREW-3", 10), ("FELT-9", 4))
    plan(shop)
    release(shop, tmp_path)
    say("orders", "lines", "A-1", "--change-line", "1:30", "--out", str(tmp_path))

    for _ in range(3):
        plan(shop)
        assert accounted(say, "A-1") == {1: 30, 2: 4}
        assert in_bags(shop, "A-1") == {1: 30, 2: 4}
    release(shop, tmp_path)
    send(shop, "A-1")

    assert packing_rows(shop, "A-1")[1] == (30, 30, 0, 0, 0)
    assert state_of(shop, "A-1") == "shipped"
    assert unaccounted(shop, "A-1") == []


def test_what_is_planned_anew_is_not_left_behind_when_the_first_bags_are_packed(shop: Shop, tmp_path) -> None:
    """The rest of a raised line is planned but not on paper: packing now is refused, or says what follows."""
    key(shop, "A-1", ("SCREW-3", 10))
    plan(shop)
    release(shop, tmp_path)
    change_lines(shop, "A-1", {1: 30}, **WHO)
    plan(shop)
    plan(shop)
    check(shop, "A-1")

    refused = ""
    try:
        pack(shop, "A-1")
    except StateRefused as refusal:
        refused = str(refusal)

    ordered, inside, to_follow, *_ = packing_rows(shop, "A-1")[1]
    assert "A-1" in refused or (ordered, inside + to_follow) == (30, 30)


def test_pieces_made_after_release_follow_onto_paper(shop: Shop, say: Say, tmp_path) -> None:
    """12 bells wanted, 7 on paper; 5 are made, another order comes, all is planned again: 12 are in bags and leave."""
    key(shop, "A-1", ("BELL-3", 12))
    plan(shop)
    release(shop, tmp_path)
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    book_in(shop, job.number, day=DAY, **WHO, counted=5)
    key(shop, "A-2", ("PIN-08", 5), minutes=5)

    plan(shop)

    assert accounted(say, "A-1") == {1: 12}
    release(shop, tmp_path)
    assert in_bags(shop, "A-1") == {1: 12}
    send(shop, "A-1")
    assert packing_rows(shop, "A-1")[1] == (12, 12, 0, 0, 0)
    assert unaccounted(shop, "A-1") == []


def test_why_says_of_every_piece_where_it_is(shop: Shop, say: Say, tmp_path) -> None:
    """While 5 of 12 bells are on no paper, ``orders why`` doesn't say *all that was ordered* but where the 12 are."""
    key(shop, "A-1", ("BELL-3", 12))
    plan(shop)
    release(shop, tmp_path)
    (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
    book_in(shop, job.number, day=DAY, **WHO, counted=5)
    plan(shop)
    plan(shop)

    ran = CliRunner().invoke(main, ["orders", "why", "A-1", "--shop", shop.where])

    assert ran.exit_code == 0
    row = next(line for line in ran.output.splitlines() if "BELL-3" in line)
    assert "all that was ordered" not in row
    assert sum(int(word) for word in row.split("12", 1)[1].split() if word.isdigit()) == 12


@pytest.fixture
def sent_in_part(shop: Shop, tmp_path: Path) -> Shop:
    """Order A-1 of 12 bells and 4 felts: 7 bells and the felts have left, 5 bells are owed."""
    key(shop, "A-1", ("BELL-3", 12), ("FELT-9", 4))
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    assert packing_rows(shop, "A-1") == {1: (12, 7, 5, 0, 0), 2: (4, 4, 0, 0, 0)}
    return shop


def test_what_is_owed_after_a_first_shipment_can_be_cancelled(sent_in_part: Shop) -> None:
    """The 5 bells are wanted no more; what was sent is sent, and nothing can be cancelled twice."""
    cancel_order(sent_in_part, "A-1", "won't wait", **WHO)

    assert [(line.short_pieces, line.cancelled_pieces) for line in lines_of(sent_in_part, "A-1")] == [(0, 5), (0, 0)]
    assert state_of(sent_in_part, "A-1") == "shipped"
    assert unaccounted(sent_in_part, "A-1") == []
    with pytest.raises(StateRefused, match="A-1"):
        cancel_order(sent_in_part, "A-1", "again", **WHO)


def test_what_is_owed_after_a_first_shipment_can_be_changed(sent_in_part: Shop, tmp_path: Path) -> None:
    """Ten bells instead of twelve, and six felts instead of four: three bells and two felts follow."""
    change_lines(sent_in_part, "A-1", {1: 10, 2: 6}, **WHO)
    for job in make_jobs(sent_in_part, Supply.MAKE, day=DAY, **WHO):
        book_in(sent_in_part, job.number, day=DAY, **WHO, counted=job.pieces_open)
    plan(sent_in_part)
    for job in make_jobs(sent_in_part, Supply.MAKE, day=DAY, **WHO):
        book_in(sent_in_part, job.number, day=DAY, **WHO, counted=job.pieces_open)

    plan(sent_in_part)
    release(sent_in_part, tmp_path)
    send(sent_in_part, "A-1")

    assert in_bags(sent_in_part, "A-1") == {1: 10, 2: 6}
    assert [line.cancelled_pieces for line in lines_of(sent_in_part, "A-1")] == [2, 0]
    assert unaccounted(sent_in_part, "A-1") == []
    with pytest.raises(StateRefused, match="A-1"):
        change_lines(sent_in_part, "A-1", {1: 3}, **WHO)


def test_what_is_owed_after_a_first_shipment_can_be_held(sent_in_part: Shop) -> None:
    """Held, the rest is promised nothing when bells come; resumed, it is."""
    (job,) = make_jobs(sent_in_part, Supply.MAKE, day=DAY, **WHO)
    hold_order(sent_in_part, "A-1", "customer moves house", **WHO)
    book_in(sent_in_part, job.number, day=DAY, **WHO, counted=5)
    plan(sent_in_part)
    assert state_of(sent_in_part, "A-1") == "held"
    assert in_bags(sent_in_part, "A-1") == {1: 7, 2: 4}

    resume_order(sent_in_part, "A-1", **WHO)
    plan(sent_in_part)

    assert in_bags(sent_in_part, "A-1") == {1: 12, 2: 4}


@pytest.mark.parametrize(("wanted", "made", "outstanding"), [(12, 5, 0), (12, 2, 3), (10, 3, 0), (11, 1, 3)])
def test_the_advice_of_a_second_shipment_counts_the_first_and_what_is_cancelled(
    sent_in_part: Shop, tmp_path: Path, wanted: int, made: int, outstanding: int
) -> None:
    """Of 12 bells 7 went first; some are cancelled, some made: outstanding is what is still wanted and never went."""
    if wanted < 12:
        change_lines(sent_in_part, "A-1", {1: wanted}, **WHO)
        plan(sent_in_part)
    (job,) = make_jobs(sent_in_part, Supply.MAKE, day=DAY, **WHO)
    book_in(sent_in_part, job.number, day=DAY, **WHO, counted=made)
    release(sent_in_part, tmp_path)

    second = send(sent_in_part, "A-1")

    with sent_in_part.reading() as books:
        (advice,) = of_json(books.need(ManifestCopy, second.manifest.number).advices)
    told = {line.number: (line.despatched_pieces, line.outstanding_pieces) for line in advice.lines}
    assert told[1] == (made, outstanding)
    assert told.get(2, (0, 0)) == (0, 0)
    assert packing_rows(sent_in_part, "A-1")[1] == (12, made, outstanding, 7, 12 - wanted)


@pytest.mark.parametrize("step", ["lines", "cancel", "service"])
def test_an_order_with_a_reviewed_package_can_still_be_changed(shop: Shop, say: Say, tmp_path, step: str) -> None:
    """The review stays on record, the package is undone, and a new one must be reviewed anew."""
    key(shop, "A-1", ("LACQ-10", 3), ("REED-A", 5))
    plan(shop)
    release(shop, tmp_path)
    check(shop, "A-1")
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    review_hazards(shop, package.number, "limited quantity, label on", **WHO)
    words = {
        "lines": ("orders", "lines", "A-1", "--change-line", "2:2", "--out", str(tmp_path)),
        "cancel": ("orders", "cancel", "A-1", "--reason", "customer called"),
        "service": ("orders", "send-by", "A-1", "AIR", "--out", str(tmp_path)),
    }

    say(*words[step])

    with shop.reading() as books:
        assert [review.package_number for review in books.find(HazardReview)] == [package.number]
    if step == "cancel":
        assert state_of(shop, "A-1") == "cancelled"
        return
    plan(shop)
    if step == "lines":
        release(shop, tmp_path)
        check(shop, "A-1")
    packed = plan_packages(shop, "A-1", **WHO)
    assert package.number not in [one.number for one in packed.packages]
    assert "flammable goods are restricted in transport" in [finding.says for finding in packed.findings]
    weighed = weigh_package(shop, packed.packages[0].number, packed.packages[0].expected_g, **WHO)
    assert weighed.package.state.value == "stop"
    review_hazards(shop, weighed.package.number, "limited quantity, label on", **WHO)
    assert weigh_package(shop, weighed.package.number, packed.packages[0].expected_g, **WHO).order_is_packed


def test_the_catalogue_imported_again_leaves_every_level_alone(shop: Shop, tmp_path: Path) -> None:
    """One part and one bin more in the files; what was picked since the first morning isn't booked back."""
    key(shop, "A-1", ("CAM-7", 20), ("REED-A", 10))
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    before = {code: level(shop, code) for code in levels()}
    assert before != levels()
    parts = FILES["parts.csv"] + "KEY-5,Winding key 5,key,5,steel,,,,,5000,40,buy,,,winding keys,830170,NZ,4.00,NZD\n"
    bins = FILES["bins.csv"] + "TAI-9,Tai,right,6,1,7000,KEY-5,0\n"
    folder = write_catalogue(tmp_path / "again", {"parts.csv": parts, "bins.csv": bins})

    done = import_catalogue(shop, folder, **WHO)

    assert done.findings == ()
    assert done.counts["parts"].new == 1
    assert {code: level(shop, code) for code in levels()} == before
    key(shop, "A-2", ("KEY-5", 1), ("CAM-7", 5))
    plan(shop)
    assert [line.short_pieces for line in lines_of(shop, "A-2")] == [1, 0]


def test_an_order_shows_what_was_cancelled_where_it_goes_what_was_said_and_what_it_costs(shop: Shop) -> None:
    """What the clerk on the telephone needs stands on the screen: street, notes, price, cancelled pieces."""
    key(shop, "A-1", ("REED-A", 9), ("FELT-9", 3), street="17 Kōtuku Sample Road", note_picker="filed ones only",
        note_packer="no paper inside")  # fmt: skip
    change_lines(shop, "A-1", {1: 5}, **WHO)

    shown = CliRunner().invoke(main, ["orders", "show", "A-1", "--shop", shop.where]).output

    for words in ("17 Kōtuku Sample Road", "filed ones only", "no paper inside", "1.20", "cancelled"):
        assert words in shown
    row = next(line.split() for line in shown.splitlines() if "REED-A" in line)
    assert "9" in row
    assert "4" in row


def test_the_day_report_counts_each_order_and_line_once(shop: Shop, tmp_path: Path) -> None:
    """Rows of the table add up to the row *ordered*: in pieces, in lines and in orders."""
    key(shop, "A-1", ("BELL-3", 12), ("FELT-9", 4))
    key(shop, "A-2", ("REED-A", 5), ("CAM-7", 2), minutes=1)
    key(shop, "A-3", ("DISC-21", 1), minutes=2)
    key(shop, "A-4", ("SCREW-3", 5), minutes=3)
    change_lines(shop, "A-2", {1: 3}, **WHO)
    cancel_order(shop, "A-3", "ordered twice", **WHO)
    plan(shop)
    release(shop, tmp_path)
    hold_order(shop, "A-4", "address unclear", **WHO)
    for number in ("A-1", "A-2"):
        check(shop, number)
        pack(shop, number)
    ship(shop)

    with shop.reading() as books:
        *rows, total = day_report_sheet(books, report_day(shop, day=DAY)).balance

    assert total.is_total
    assert (total.orders, total.lines, total.pieces) == (4, 6, 29)
    assert sum(row.pieces for row in rows) == total.pieces
    assert sum(row.lines for row in rows) == total.lines
    assert sum(row.orders for row in rows) == total.orders


def test_no_step_of_these_days_says_a_database_word(shop: Shop, say: Say, tmp_path: Path) -> None:
    """Wrong use at every stage is one sentence with what was tried and what was expected."""
    key(shop, "A-1", ("LACQ-10", 2))
    plan(shop)
    release(shop, tmp_path)
    check(shop, "A-1")
    (package,) = plan_packages(shop, "A-1", **WHO).packages
    for words in (
        ("orders", "hold", "A-9", "--reason", "x"),
        ("orders", "lines", "A-1", "--change-line", "7:1", "--out", str(tmp_path)),
        ("orders", "lines", "A-1", "--new-line", "NONE:1", "--out", str(tmp_path)),
        ("packages", "weigh", package.number, "--gross", "-3"),
        ("bags", "check", "B1"),
        ("manifests", "close", "ROAD", "--out", str(tmp_path)),
    ):
        said = say(*words, leaves=(2,))["refused"]["says"]
        assert said.startswith("Cannot ")
        assert "expected" in said
    with shop.reading() as books, pytest.raises(Refusal):
        books.need(Package, "P1")
