"""Both books keep the identities of double entry, over a day with shipments, shorts, changes and returns.

Source of the identities: Luca Pacioli, *Particularis de computis et scripturis* (in *Summa de arithmetica*, Venice
1494): each entry of the journal is posted twice in the ledger, once as a debit and once as a credit, and the sum of all
debits is the sum of all credits (read in the summary of L. Lauwers and M. Willekens). Pieces take the place of money:
what goes into a place is its debit, what leaves it its credit.
"""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from fulfil.despatch.claims import take_back
from fulfil.errors import StateRefused
from fulfil.orders.changing import change_lines
from fulfil.orders.holding import cancel_order
from fulfil.orders.pulling import put_back
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.order import OrderLine
from fulfil.records.part import Supply
from fulfil.records.pieces import OUTSIDE, Owed, OwedEntry, StockEntry, There
from fulfil.stock.jobs import book_in, make_jobs
from fulfil.stock.levels import count_bin, receive, reject_pieces
from fulfil.store.shop import Shop
from tests.harbour_shop import DAY, WHO, key, open_harbour, plan, release, send
from tests.piece_places import owed, stock

NUMBERS = ("A-1", "A-2", "A-3")


@pytest.fixture
def worked(tmp_path: Path) -> Iterator[Shop]:
    """A harbour shop after a day on which nearly everything happened."""
    with open_harbour(tmp_path) as shop:
        key(shop, "A-1", ("CAM-7", 40), ("KIT-D", 4))
        key(shop, "A-2", ("REED-A", 9), ("FELT-9", 3), minutes=1)
        key(shop, "A-3", ("DISC-21", 2), minutes=2)
        plan(shop)
        release(shop, tmp_path)
        pulled = [*cancel_order(shop, "A-3", "ordered twice", **WHO).pulled]
        pulled += change_lines(shop, "A-2", {1: 5}, **WHO).pulled
        for bag in pulled:
            put_back(shop, bag.bag_code, **WHO)
        receive(shop, "MUA-3", 50, "note 4", **WHO)
        count_bin(shop, "TAI-3", 195, **WHO)
        reject_pieces(shop, "MOANA-2", 2, "moth", day=DAY, **WHO)
        send(shop, "A-1")
        (job,) = make_jobs(shop, Supply.MAKE, day=DAY, **WHO)
        book_in(shop, job.number, day=DAY, **WHO, counted=12)
        plan(shop)
        release(shop, tmp_path)
        for number in ("A-1", "A-2"):
            send(shop, number)
        take_back(shop, "A-2", 2, Outcome.BOOKED_BACK, "too many", **WHO, counted=1)
        take_back(shop, "A-2", 1, Outcome.SCRAPPED, "bent", **WHO, counted=1)
        yield shop


def _entries(shop: Shop, kind: type[Any]) -> list[Any]:
    with shop.reading() as books:
        return books.find(kind)


def _account(move: Any, place: Any, ref: str) -> tuple[object, ...]:
    """The account of a place: of an order line's part, or of a part."""
    if isinstance(move, OwedEntry):
        return (move.order_number, move.line_no, move.part_number, place.value, ref)
    return (move.part_number, place.value, ref)


@pytest.mark.parametrize("kind", [OwedEntry, StockEntry])
def test_every_debit_has_its_credit_and_the_trial_balance_is_zero(worked: Shop, kind: type[Any]) -> None:
    """All that went into places is all that left places, of every part and in all."""
    moves = _entries(worked, kind)
    assert len(moves) > 40

    debits: Counter[tuple[object, ...]] = Counter()
    credits: Counter[tuple[object, ...]] = Counter()
    for move in moves:
        debits[_account(move, move.to_place, move.to_ref)] += move.pieces
        credits[_account(move, move.from_place, move.from_ref)] += move.pieces
        assert move.pieces > 0
        assert (move.from_place, move.from_ref) != (move.to_place, move.to_ref)
        assert move.reason
        assert move.person

    assert debits.total() == credits.total()
    balances = {account: debits[account] - credits[account] for account in debits | credits}
    assert sum(balances.values()) == 0


def test_the_balances_are_the_debits_less_the_credits(worked: Shop) -> None:
    """Every balance that the shop keeps is what its moves leave; the outside owes what the inside has."""
    mine: dict[tuple[str, int, str], Counter[tuple[str, str]]] = {}
    for move in _entries(worked, OwedEntry):
        places = mine.setdefault((move.order_number, move.line_no, move.part_number), Counter())
        places[move.to_place.value, move.to_ref] += move.pieces
        places[move.from_place.value, move.from_ref] -= move.pieces
    there: dict[str, Counter[tuple[str, str]]] = {}
    for move in _entries(worked, StockEntry):
        places = there.setdefault(move.part_number, Counter())
        for place, ref, pieces in (
            (move.to_place, move.to_ref, move.pieces),
            (move.from_place, move.from_ref, -move.pieces),
        ):
            places[place.value, "" if place in OUTSIDE else ref] += pieces

    outside = {key: -places.pop((Owed.ORDERED.value, "")) for key, places in mine.items()}
    assert {key: +places for key, places in mine.items()} == owed(worked)
    assert outside == {key: sum(places.values()) for key, places in owed(worked).items()}
    for places in there.values():
        came = -sum(places.pop((place.value, ""), 0) for place in OUTSIDE)
        assert came == sum(places.values())
    assert {part: +places for part, places in there.items() if +places} == {
        part: places for part, places in stock(worked).items() if places
    }


@pytest.mark.parametrize("kind", [OwedEntry, StockEntry])
def test_no_place_was_ever_below_zero(worked: Shop, kind: type[Any]) -> None:
    """Replayed move by move, in the order in which they were written, no place inside ever holds less than nothing."""
    held: Counter[tuple[object, ...]] = Counter()
    last = 0
    for move in _entries(worked, kind):
        assert move.id > last
        last = move.id
        held[_account(move, move.to_place, move.to_ref)] += move.pieces
        if move.from_place not in {Owed.ORDERED, *OUTSIDE}:
            account = _account(move, move.from_place, move.from_ref)
            held[account] -= move.pieces
            assert held[account] >= 0, move


def test_what_is_written_stays(worked: Shop) -> None:
    """A move is never changed, removed, or written past its one door; nor is a sum set by hand."""
    (first, *_), (last, *_) = _entries(worked, OwedEntry), _entries(worked, StockEntry)
    for one in (first, last):
        with pytest.raises(StateRefused), worked.writing() as books:
            books.replace([one.model_copy(update={"pieces": one.pieces + 1})])
        with pytest.raises(StateRefused), worked.writing() as books:
            books.remove(type(one))
        with pytest.raises(StateRefused), worked.writing() as books:
            books.add([one.model_copy(update={"id": one.id + 100_000})])
    with worked.reading() as books:
        line = books.need(OrderLine, "A-1", 1)
    with pytest.raises(StateRefused), worked.writing() as books:
        books.replace([line.model_copy(update={"short_pieces": line.short_pieces + 1})])


def test_a_move_that_would_leave_less_than_nothing_writes_neither_book(worked: Shop) -> None:
    """Of two moves of one call, one possible and one not, neither is written."""
    before = (owed(worked), stock(worked), _entries(worked, OwedEntry), _entries(worked, StockEntry))
    line: dict[str, Any] = {"order_number": "A-2", "line_no": 2, "part_number": "FELT-9", "reason": "test"}
    from fulfil.records.pieces import OwedMove, StockMove

    good = StockMove(part_number="FELT-9", pieces=1, from_place=There.SUPPLIER, to_place=There.BIN, to_ref="MOANA-2",
                     reason="received")  # fmt: skip
    bad = OwedMove(**line, pieces=4, from_place=Owed.SHORT, to_place=Owed.WAITING)

    with pytest.raises(StateRefused, match="A-2"), worked.writing() as books:
        books.move([bad], [good], **WHO)

    assert (owed(worked), stock(worked), _entries(worked, OwedEntry), _entries(worked, StockEntry)) == before


def test_every_line_holds_what_was_ordered(worked: Shop) -> None:
    """The places of each line add up to what was ordered: 40, 4 kits, 9, 3, 2."""
    sums = {key: sum(places.values()) for key, places in owed(worked).items()}

    assert sums == {
        ("A-1", 1, "CAM-7"): 40,
        ("A-1", 2, "SPRING-2"): 8,
        ("A-1", 2, "FELT-9"): 12,
        ("A-2", 1, "REED-A"): 9,
        ("A-2", 2, "FELT-9"): 3,
        ("A-3", 1, "DISC-21"): 2,
    }
