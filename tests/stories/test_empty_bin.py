"""A bin in mid-walk that holds fewer than was promised from it: another bin, else short, else what there is.

Every story begins on the first morning of the harbour shop (:mod:`tests.harbour_shop`).
"""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.bench.check import Seen, check_bag
from fulfil.orders.holding import cancel_order
from fulfil.records.plan import WalkRecord
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.levels import count_bin
from fulfil.store.shop import Shop
from tests.harbour_shop import (
    DAY,
    NOW,
    WHO,
    bags,
    check,
    key,
    level,
    lines_of,
    pack,
    plan,
    release,
    right,
    send,
    ship,
)
from tests.piece_places import Owed, Stock, line_at, owed, stock


def on_paper(shop: Shop, folder: Path, *asked: tuple[str, int], number: str = "A-1", **given: Any) -> WalkRecord:
    """An order keyed, planned and on paper; its walk."""
    key(shop, number, *asked, **given)
    plan(shop)
    return release(shop, folder)[-1]


def both(shop: Shop) -> tuple[Owed, Stock]:
    """Both books."""
    return owed(shop), stock(shop)


def _walks(shop: Shop) -> list[WalkRecord]:
    with shop.reading() as books:
        return books.find(WalkRecord)


def test_a_count_of_an_empty_bin_names_the_orders_it_fails(shop: Shop, say: Callable[..., dict], tmp_path) -> None:
    """``bins count --counted 0`` says who was promised pieces from this bin and what to do."""
    on_paper(shop, tmp_path, ("DISC-21", 4))

    told = CliRunner().invoke(
        main, ["bins", "count", "MUA-2", "--counted", "0", "--shop", shop.where, "--at", NOW.isoformat()]
    )

    assert told.exit_code == 1
    assert "A-1" in told.output
    assert "fulfil " in told.output


def test_an_empty_bin_is_picked_from_the_other_one(shop: Shop, tmp_path: Path) -> None:
    """6 reeds of an empty bin come from the other one; the first bag is off its walk, the order leaves whole."""
    on_paper(shop, tmp_path, ("REED-A", 6))
    (bag,) = bags(shop)
    other = {"TAI-2": "WAKA-3", "WAKA-3": "TAI-2"}[bag.bin_code]
    before = both(shop)

    preview = bin_lacks(shop, bag.bin_code, 0, day=DAY, **WHO, is_preview=True)
    assert both(shop) == before
    done = bin_lacks(shop, bag.bin_code, 0, day=DAY, **WHO)

    assert done.tells == preview.tells
    assert any(other in tell for tell in done.tells)
    assert any(bag.code in tell for tell in done.tells)
    assert level(shop, bag.bin_code) == 0
    assert sum(line_at(shop, "A-1", 1).values()) == 6
    plan(shop)
    release(shop, tmp_path)
    assert [(one.bin_code, one.pieces) for one in bags(shop)] == [(other, 6)]
    send(shop, "A-1")
    assert line_at(shop, "A-1", 1) == {"shipped": 6}


def test_an_empty_bin_without_another_makes_its_orders_short(shop: Shop, tmp_path: Path) -> None:
    """4 discs of an empty bin are short, the other line leaves, and the discs follow when they come."""
    on_paper(shop, tmp_path, ("DISC-21", 4), ("FELT-9", 3))

    done = bin_lacks(shop, "MUA-2", 0, day=DAY, **WHO)

    assert any("A-1" in tell for tell in done.tells)
    assert [line.short_pieces for line in lines_of(shop, "A-1")] == [4, 0]
    send(shop, "A-1")
    assert (line_at(shop, "A-1", 1), line_at(shop, "A-1", 2)) == ({"short": 4}, {"shipped": 3})
    count_bin(shop, "MUA-2", 6, **WHO)
    plan(shop)
    release(shop, tmp_path)
    send(shop, "A-1")
    assert line_at(shop, "A-1", 1) == {"shipped": 4}


def test_a_bin_that_holds_fewer_gives_what_there_is(shop: Shop, tmp_path: Path) -> None:
    """3 of 4 discs are there: 3 leave, 1 is short; a second order's promise from the same bin is short, too."""
    key(shop, "A-2", ("DISC-21", 2), minutes=9)
    on_paper(shop, tmp_path, ("DISC-21", 4), ("FELT-9", 3))

    bin_lacks(shop, "MUA-2", 3, day=DAY, **WHO)

    lines = [line_at(shop, "A-1", 1), line_at(shop, "A-2", 1)]
    assert sum(lines[0].values()) == 4
    assert sum(lines[1].values()) == 2
    assert sum(at.get("short", 0) for at in lines) == 3
    assert level(shop, "MUA-2") <= 3
    plan(shop)
    if any(walk.released_at is None for walk in _walks(shop)):
        release(shop, tmp_path)
    for number in ("A-1", "A-2"):
        check(shop, number)
        if bags(shop, order_number=number):
            pack(shop, number)
    ship(shop)
    shipped = [line_at(shop, number, 1).get("shipped", 0) for number in ("A-1", "A-2")]
    assert sum(shipped) == 3


def test_a_bin_with_enough_has_no_exception(shop: Shop, tmp_path: Path) -> None:
    """As many pieces as are promised: nothing lacks, the step is a count and moves no promise."""
    on_paper(shop, tmp_path, ("DISC-21", 4))
    before = owed(shop)

    bin_lacks(shop, "MUA-2", 4, day=DAY, **WHO)

    assert owed(shop) == before
    assert level(shop, "MUA-2") == 4


def test_a_checked_bag_of_the_empty_bin_stays_checked(shop: Shop, tmp_path: Path) -> None:
    """What has left the bin before it was empty is not taken away again."""
    key(shop, "A-1", ("DISC-21", 4))
    on_paper(shop, tmp_path, ("DISC-21", 5), number="A-2", minutes=3)
    check(shop, "A-1")

    bin_lacks(shop, "MUA-2", 0, day=DAY, **WHO)

    assert line_at(shop, "A-1", 1) == {"passed": 4}
    assert line_at(shop, "A-2", 1) == {"short": 5}


def test_a_bag_of_the_empty_bin_is_not_asked_to_be_recounted_for_ever(shop: Shop, tmp_path: Path) -> None:
    """A recount that finds the bin empty ends in the exception, not in a third recount that holds the order."""
    on_paper(shop, tmp_path, ("DISC-21", 4), ("FELT-9", 3))
    (bag,) = bags(shop, line_no=1)
    check_bag(shop, bag.code, Seen(counted=0), **WHO)
    (felts,) = bags(shop, line_no=2)
    check_bag(shop, felts.code, right(felts), **WHO)

    bin_lacks(shop, "MUA-2", 0, day=DAY, **WHO)

    assert bags(shop, line_no=1) == []
    pack(shop, "A-1")
    ship(shop)
    assert line_at(shop, "A-1", 1) == {"short": 4}
    assert line_at(shop, "A-1", 2) == {"shipped": 3}
    cancel_order(shop, "A-1", "won't wait", **WHO)
    assert line_at(shop, "A-1", 1) == {"cancelled": 4}
