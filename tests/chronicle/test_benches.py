"""The benches of an invented shop, line by line: what is said, what is written, what a kill leaves."""

from collections.abc import Iterator
from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fulfil.bench.cards import badge_sheets, card_sheets
from fulfil.bench.check import Seen, check_bag, undo_check
from fulfil.bench.check_station import CheckBench
from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.bench.mistakes import mistakes
from fulfil.bench.pack_station import PackBench
from fulfil.bench.places import free_order, note_picker
from fulfil.bench.recount_slips import recount_sheets
from fulfil.checking.reading import ScaleReading
from fulfil.checking.sampling_plan import SamplingPlan
from fulfil.orders.holding import hold_order
from fulfil.orders.pulling import pull_bags
from fulfil.records.order import Order
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.settings import Settings
from fulfil.store.shop import Shop, open_shop
from tests.bench_shop import AT, DAY, bench_shop, right_weight
from tests.chronicle.telling import Chronicle

Bench = CheckBench | PackBench


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """Three orders of four bags, on paper."""
    bench_shop(tmp_path / "shop.sqlite")
    with open_shop(tmp_path / "shop.sqlite", wait_s=1) as opened:
        yield opened


def bags(shop: Shop, **equals: Any) -> list[Bag]:
    """Bags by any of their fields."""
    with shop.reading() as books:
        return books.find(Bag, **equals)


def lines_at(told: Chronicle, bench: Bench, *lines: str, start: int = 0) -> None:
    """Each line that is typed, what is said, and what is in hand then."""
    for minute, line in enumerate(lines, start=start):
        say = bench.enter(line, at=AT + timedelta(minutes=minute), now_s=60.0 * minute)
        told.tell(f"{bench.bench} > {line}", [say, bench.state])


def check_all(shop: Shop, *numbers: str) -> None:
    """Every bag of these orders passes."""
    for number in numbers:
        for bag in bags(shop, order_number=number):
            seen = (
                Seen(gross_g=Decimal(right_weight(bag)))
                if bag.lower_g is not None
                else Seen(counted=bag.pieces, gross_g=Decimal("30.00"), scale_code="FINE")
            )
            if bag.state is not BagState.PASSED:
                check_bag(shop, bag.code, seen, at=AT, person="anna")


def test_a_morning_at_the_check_bench(shop: Shop) -> None:
    """Badge, cart, position, right and wrong weights, hand counts, eyes, undo, skip, let go, words that are none."""
    told = Chronicle(shop, "bench/check-bench")
    bench = CheckBench(shop, "check-1")
    told.tell("opened", bench.open())
    first, *others = bags(shop, order_number="O-1001")
    lines_at(
        told,
        bench,
        "pos 1",
        "@anna",
        first.walk_number,
        "pos 1",
        "pos 9",
        first.code,
        right_weight(first) + "0",
        right_weight(first),
        "ok",
        "undo",
        first.code,
        "1.00",
        "leave",
        "O-1001",
        others[0].code,
        "looks wrong black, not zinc",
        others[1].code,
        "hand count",
        str(others[1].pieces + 2),
        others[1].code,
        str(others[1].pieces),
        "damaged",
        others[2].code,
        "skip",
        "show",
        "help",
        "let go",
        "O-9999",
        first.code[:6],
        "nonsense",
        "",
    )
    told.tell("its slips", bench.slips)
    with shop.reading() as books:
        told.each("slips as sheets", recount_sheets(books, bench.slips))
    told.is_as_recorded()


def test_a_bag_that_fails_three_times_holds_its_order(shop: Shop) -> None:
    """The third time is enough; another bench is told; a person frees it."""
    told = Chronicle(shop, "bench/three-times")
    one, other = CheckBench(shop, "check-1", person="anna"), CheckBench(shop, "check-2", person="bob")
    one.open(), other.open()
    weighed = next(bag for bag in bags(shop, order_number="O-1001") if bag.lower_g is not None)
    lines_at(told, one, weighed.code)
    lines_at(told, other, weighed.code, "O-1001")
    told.refused("without a reason", lambda: free_order(shop, "O-1001", " ", at=AT, person="eve"))
    told.tell("freed", free_order(shop, "O-1001", " gone home ", at=AT, person="eve"))
    told.refused(
        "twice, none",
        lambda: free_order(shop, "O-1001", "x", at=AT, person="eve"),
        lambda: free_order(shop, "", "x", at=AT, person="eve"),
    )
    lines_at(
        told,
        one,
        f"{weighed.upper_g + 1:.2f}",
        "undo",
        weighed.code,
        f"{weighed.upper_g + 1:.2f}",
        weighed.code,
        f"{weighed.lower_g - 1:.2f}",
        weighed.code,
        f"{weighed.upper_g + 2:.2f}",
        weighed.code,
    )
    with shop.reading() as books:
        told.each("slips", recount_sheets(books, []))
    told.tell("mistakes", mistakes(shop))
    with shop.writing() as books:
        books.add([WalkRecord(number="W9", day=DAY + timedelta(weeks=13), length_mm=1, orders=1, stops=1)])
    told.tell("thirteen weeks later", mistakes(shop))
    with shop.writing() as books:
        books.add([WalkRecord(number="W10", day=DAY + timedelta(weeks=13, days=1), length_mm=1, orders=1, stops=1)])
    told.tell("and a day", mistakes(shop))
    told.tell("of all days", mistakes(shop, since=DAY))
    told.each(
        "tables", [mistakes(shop, since=DAY).frames[name] for name in ("parts", "bins", "scales", "pairs", "claims")]
    )
    told.is_as_recorded()


def test_a_scale_that_sends_by_itself(shop: Shop) -> None:
    """Steady, new and wanted readings count; negative ones are said; nothing is weighed without a bag in hand."""
    told = Chronicle(shop, "bench/sending-scale")
    bench = CheckBench(shop, "check-1", person="anna", steady_run=2)
    bench.open(now_s=0.0)
    bag = next(bag for bag in bags(shop, order_number="O-1001") if bag.lower_g is not None)
    right = Decimal(right_weight(bag))
    readings = [("0.00", 1.0, True), ("5.00", 2.0, True), ("5.00", 2.5, True)]
    for mass, at_s, is_steady in readings:
        told.tell(f"{mass} at {at_s}", [bench.weighed(ScaleReading(Decimal(mass), is_steady), at=AT, sent_at_s=at_s)])
    bench.enter(bag.code, at=AT, now_s=10.0)
    sent = [
        (right, 9.0, True),
        (Decimal("-0.50"), 11.0, True),
        (right, 12.0, False),
        (right, 13.0, True),
        (right, 14.0, True),
        (right, 15.0, True),
    ]
    for mass_g, at_s, is_steady in sent:
        told.tell(
            f"{mass_g} at {at_s}",
            [bench.weighed(ScaleReading(mass_g, is_steady), at=AT, sent_at_s=at_s), bench.state.gross_g],
        )
    told.is_as_recorded()


def test_sampling_and_facts(shop: Shop) -> None:
    """One in five after a clear run; every fact of bags, orders, walks, positions and unknown codes."""
    told = Chronicle(shop, "bench/check-facts")
    note_picker(shop, "W2603020001", at=AT, person="pia")
    told.refused("no such walk", lambda: note_picker(shop, "W-9", at=AT, person="pia"))
    facts = FactsOfCheck(KeptIndex(), plan=SamplingPlan(clear=2, one_in=5))
    with shop.writing() as books:
        first = books.find(Bag, order_number="O-1002")
        pull_bags(books, first[:1], "not wanted", at=AT, person="eve")
    hold_order(shop, "O-1003", "pays first", at=AT, person="eve")
    with shop.reading() as books:
        for bag in books.find(Bag):
            told.tell(f"bag {bag.code}", facts.of_code(books, bag.code, walk_number="", clear_run=2))
        for code in (
            "O-1001",
            "O-1002",
            "O-1003",
            "W2603020001",
            first[0].code,
            "B260",
            "B260302",
            "2603020001",
            "B26",
            "nothing",
        ):
            told.tell(f"code {code}", [facts.of_code(books, code, walk_number="W2603020001", clear_run=0)])
        for position, walk in ((1, "W2603020001"), (2, "W2603020001"), (9, "W2603020001"), (1, "")):
            told.tell(f"position {position} {walk}", [facts.of_position(books, position, walk)])
    bench = CheckBench(shop, "check-1", person="pia")
    bench.open()
    lines_at(told, bench, "O-1001")
    bench = CheckBench(shop, "check-3", person="anna", facts=facts)
    bench.open()
    lines_at(told, bench, *[bag.code for bag in bags(shop, order_number="O-1001")])
    told.is_as_recorded()


def test_checks_and_their_undoing(shop: Shop) -> None:
    """By verb: every kind of evidence, and what can't be checked or undone."""
    told = Chronicle(shop, "bench/checks")
    weighed = [bag for bag in bags(shop) if bag.lower_g is not None]
    by_hand = [bag for bag in bags(shop) if bag.lower_g is None]

    def checked(bag: Bag, **seen: Any) -> Any:
        return check_bag(shop, bag.code, Seen(**seen), at=AT, person="anna")

    told.tell("by weight, at its lower limit", checked(weighed[0], gross_g=weighed[0].lower_g))
    told.tell("below it", checked(weighed[1], gross_g=weighed[1].lower_g - Decimal("0.01")))
    told.tell("at its upper limit", checked(weighed[2], gross_g=weighed[2].upper_g))
    told.tell("above it", checked(weighed[3], gross_g=weighed[3].upper_g + Decimal("0.01")))
    told.tell(
        "by hand, wrong, then right",
        [checked(by_hand[0], counted=by_hand[0].pieces - 1), checked(by_hand[0], counted=by_hand[0].pieces)],
    )
    told.tell("a weight that proves nothing", checked(by_hand[1], gross_g=Decimal("20.00"), scale_code="FINE"))
    told.tell("unchecked", checked(weighed[4], unchecked_by="1 in 5"))
    told.tell("damaged", checked(weighed[5], looks_wrong="bent", is_damaged=True))
    told.refused(
        "what can't be checked",
        lambda: checked(weighed[0], gross_g=weighed[0].target_g),
        lambda: checked(weighed[6]),
        lambda: checked(by_hand[1]),
        lambda: checked(weighed[6], gross_g=Decimal("700.00")),
        lambda: checked(weighed[6], gross_g=Decimal("-1.00")),
        lambda: checked(weighed[6], gross_g=Decimal(30), scale_code="PACK"),
        lambda: checked(weighed[6], gross_g=Decimal("30.005")),
        lambda: check_bag(shop, "B-9", Seen(counted=1), at=AT, person="anna"),
    )

    def undo(code: str) -> Any:
        with shop.writing() as books:
            return undo_check(books, code, at=AT, person="anna")

    told.tell("undone, passed", undo(weighed[0].code))
    told.tell("undone, sent back", undo(weighed[1].code))
    told.refused("what can't be undone", lambda: undo(weighed[0].code), lambda: undo("B-9"))
    told.is_as_recorded()


@pytest.mark.parametrize("weight_tells", [False, True])
def test_a_morning_at_the_packing_bench(shop: Shop, weight_tells: bool) -> None:
    """Bags into the box by their scans, out again, weighed wrong and right, opened again, killed in between."""
    told = Chronicle(shop, f"bench/pack-bench-{'weight-tells' if weight_tells else 'all-scans'}")
    check_all(shop, "O-1001", "O-1002")
    bench = PackBench(shop, "pack-1", weight_tells=weight_tells)
    told.tell("opened", bench.open())
    codes = [bag.code for bag in bags(shop, order_number="O-1001")]
    lines_at(
        told,
        bench,
        "pos 1",
        "@ben",
        "W2603020001",
        "pos 2",
        "pos 9",
        "O-1003",
        "nonsense",
        "let go",
        codes[0],
        codes[1],
        codes[1],
        "show",
    )
    killed = PackBench(shop, "pack-1", weight_tells=weight_tells)
    told.tell("opened again", killed.open())
    other = PackBench(shop, "pack-2", person="eve")
    other.open()
    lines_at(told, other, codes[2], bags(shop, order_number="O-1002")[0].code)
    lines_at(told, killed, "undo", *codes, "photo /no/such.jpg", "1", "5000 g", start=20)
    assert killed.state.package is not None
    lines_at(told, killed, f"{killed.state.package.expected_g}", start=40)
    lines_at(told, killed, "reopen", "reopen a spring is missing", "show", "leave", start=50)
    told.is_as_recorded()


def test_a_packing_scale_that_sends_by_itself(shop: Shop) -> None:
    """Only when all bags are in."""
    told = Chronicle(shop, "bench/pack-scale")
    check_all(shop, "O-1001")
    bench = PackBench(shop, "pack-1", person="ben", steady_run=1)
    bench.open()
    told.tell("no package", [bench.weighed(ScaleReading(Decimal(100)), at=AT, sent_at_s=1.0)])
    codes = [bag.code for bag in bags(shop, order_number="O-1001")]
    bench.enter(codes[0], at=AT, now_s=2.0)
    assert bench.state.package is not None
    right = bench.state.package.expected_g
    told.tell("bags missing", [bench.weighed(ScaleReading(right), at=AT, sent_at_s=3.0)])
    for place, code in enumerate(codes[1:], start=1):
        bench.enter(code, at=AT, now_s=4.0 + place / len(codes))
    for mass_g, at_s in ((right, 3.5), (right, 4.6), (Decimal(-4), 5.0), (Decimal(0), 5.5), (right, 6.0), (right, 7.0)):
        told.tell(f"{mass_g} at {at_s}", [bench.weighed(ScaleReading(mass_g), at=AT, sent_at_s=at_s)])
    told.is_as_recorded()


def test_cards_and_badges(shop: Shop) -> None:
    """A card a command, one a position, a badge a person."""
    told = Chronicle(shop, "bench/bench-cards")
    settings = Settings(shop_name="Invented bells", cart_positions=3)
    told.each("as the carts have", card_sheets(settings))
    told.each("none", card_sheets(settings, 0)[-2:])
    told.each("badges", badge_sheets(settings, ["anna", "bob"]))
    told.refused(
        "wrong",
        lambda: card_sheets(settings, -1),
        lambda: badge_sheets(settings, [""]),
        lambda: badge_sheets(settings, [" a"]),
    )
    with shop.reading() as books:
        assert books.need(Order, "O-1001")
    told.is_as_recorded()
