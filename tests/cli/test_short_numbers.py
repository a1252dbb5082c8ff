"""Numbers, scales and masses as tired people type them, on a bench shop that is not the demo's."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.records.order import Order
from fulfil.records.part import Supply
from fulfil.records.plan import Bag, CountMethod
from fulfil.records.shorts import Job
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, DAY, bench_shop, right_weight

PART = "SCR-0001"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A shop with three orders of four bags, and a job for a part."""
    path = tmp_path / "shop.db"
    bench_shop(path)
    with open_shop(path) as shop, shop.writing() as books:
        books.add([Job(number="J2603020007", part_number=PART, supply=Supply.BUY, pieces=20, day=DAY)])
    return path


@pytest.fixture
def say(path: Path):
    """A way to say `fulfil …` about the shop."""

    def told(*words: str, leaves: int = 0) -> dict:
        more = ["--shop", str(path), "--at", AT.isoformat(), "--by", "ann", "--json"]
        ran = CliRunner().invoke(main, [*words, *more], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return json.loads(ran.stdout)

    return told


def bag(path: Path, code: str) -> Bag:
    """A bag of the shop."""
    with open_shop(path) as shop, shop.reading() as books:
        return books.need(Bag, code)


@pytest.mark.parametrize("said", ["3", "0003", "b3", "b2603020003", "B0003", "020003"])
def test_a_bag_by_its_last_digits(say, said: str) -> None:
    """Seen: only the whole number was taken."""
    assert say("bags", "show", said)["code"] == "B2603020003"


def test_numbers_of_all_kinds_and_small_letters(say) -> None:
    """Order, walk, part and service: one door; what the shop has not is refused by the step, as it was typed."""
    assert say("orders", "show", "o-1002")["order"]["number"] == "O-1002"
    assert say("orders", "show", "1002")["order"]["number"] == "O-1002"
    assert say("parts", "show", PART.lower())["part"]["number"] == PART
    assert say("journal", "show", "--bag", "3") is not None
    assert say("orders", "show", "7777", leaves=2)["refused"]["says"].startswith("Cannot find the order '7777'")


def test_an_unclear_number_is_refused_by_name(say, path: Path) -> None:
    """Two orders end in 1001: nothing is picked by chance, and the answer names both."""
    with open_shop(path) as shop, shop.writing() as books:
        other = books.need(Order, "O-1001").model_copy(update={"number": "X-1001"})
        books.add_orders([(other, [])])

    refused = say("orders", "show", "1001", leaves=2)["refused"]
    expected = "Cannot tell which order is '1001': expected more of its number; it may be X-1001, O-1001."
    assert (refused["kind"], refused["says"]) == ("UnknownRefused", expected)


def test_pieces_are_booked_in_without_naming_the_scale(say) -> None:
    """Seen: "Cannot find the scale ''" in a shop with one bag scale. The scale that shows such readings is taken."""
    unit_g = 0.5 + 0.137
    gross = f"{1.85 + 20 * unit_g:.2f}".replace(".", ",")
    done = say("shorts", "book-in", "7", "--gross", gross, "--tare", "1,85")
    assert (done["pieces"], done["job"]["number"]) == (20, "J2603020007")


def test_a_bag_counted_by_hand_is_weighed_without_naming_the_scale(say, path: Path) -> None:
    """The finest scale that shows the reading's digits notes it."""
    with open_shop(path) as shop, shop.reading() as books:
        by_hand = next(one for one in books.find(Bag) if one.method is CountMethod.HAND)
    done = say("bags", "check", by_hand.code[-4:], "--counted", str(by_hand.pieces), "--gross", "12,34")
    assert done["verdict"] == "passed"


def test_at_the_bench_a_bag_by_its_last_digits(path: Path) -> None:
    """Typed at the check bench with nothing in hand: 1 is the bag; with a bag in hand a number is its weight."""
    with open_shop(path) as shop:
        bench = CheckBench(shop, "check-1", person="ben")
        bench.open()
        taken = bench.enter("0003", at=AT)
        assert "B2603020003" in taken.headline
        weight = right_weight(bag(path, "B2603020003")).replace(".", ",")
        assert "passed" in bench.enter(weight, at=AT).big.lower()
        assert "B2603020004" in bench.enter("b4", at=AT).headline
        assert bench.enter("b9", at=AT).headline.startswith("Bag B2603020004 is in hand")


def test_at_the_packing_bench_an_order_by_its_end(path: Path) -> None:
    """Seen: "is not a bag". The bench finds the order or the bag, and says what stands against it."""
    with open_shop(path) as shop:
        bench = PackBench(shop, "pack-1", person="ben")
        bench.open()
        for typed in ("b1", "0001", "o-1001"):
            said = bench.enter(typed, at=AT).headline
            assert "is not a bag" not in said
            assert "O-1001" in said
