"""One part or bin is added, changed and retired by itself, by the rules of the catalogue's files."""

import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from fulfil.errors import StateRefused, UnknownRefused
from fulfil.files.parts import PARTS, WEIGHTS
from fulfil.files.places import BINS
from fulfil.orders.importing import add_order
from fulfil.orders.kits import set_kit
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.order import Order, OrderLine
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.records.pieces import StockEntry
from fulfil.records.place import Bin
from fulfil.stock.bin_changes import add_bin, change_bin, retire_bin
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.catalogue_out import export_catalogue
from fulfil.stock.empty_bins import bin_lacks
from fulfil.stock.levels import count_bin
from fulfil.stock.part_changes import add_part, change_part, retire_part
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from tests.odd_shop import odd_catalogue
from tests.who import Who

NOW = datetime(2026, 3, 2, 0, tzinfo=UTC)
WHO = Who(at=NOW, person="aki")
PIN = {
    "description": "Pin ⌀2 × 8",
    "family": "pin",
    "longest_mm": "8",
    "supply": "buy",
    "price": "7",
    "currency": "JPY",
}
WEIGHED = {"unit_weight_g": "0.196", "piece_sd_g": "0.001", "sample_pieces": "80"}
PLACE = {"aisle": "back way", "side": "left", "section": "7", "level": "2", "y_mm": "6000", "part": "PIN-2"}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The odd shop."""
    with open_shop(tmp_path / "odd.sqlite", create=True) as opened:
        folder = odd_catalogue(tmp_path / "catalogue")
        assert import_catalogue(opened, folder, **WHO).findings == ()
        yield opened
        assert verify_shop(opened) == ()


def _order(shop: Shop, number: str, part: str, pieces: int) -> list:
    keyed = Order(number=number, source="phone", received_at=NOW, name="Invented Person", street="Street 1",
                  city="Town", country="JP", service_code="slow", currency="JPY")  # fmt: skip
    line = OrderLine(order_number=number, line_no=1, part_number=part, pieces=pieces, unit_price_minor=7)
    return add_order(shop, keyed, [line], **WHO)


def _journal(shop: Shop) -> list[tuple[str, str, dict]]:
    with shop.reading() as books:
        return [(one.event, one.subject, json.loads(one.particulars)) for one in books.find(JournalEntry)][1:]


def test_a_part_is_added_as_a_file_would_add_it(shop: Shop, tmp_path: Path) -> None:
    """The record, its weight, its opening count; the whole catalogue with it goes out and changes nothing coming in."""
    done = add_part(shop, "PIN-2", PIN | WEIGHED, **WHO)
    assert done.findings == ()
    assert done.notes == ("its bulk volume is estimated from weight and longest side; measure 100 pieces in a beaker",)
    assert add_bin(shop, "K9", PLACE | {"pieces": "250"}, **WHO).findings == ()

    with shop.reading() as books:
        assert books.need(Part, "PIN-2").price_minor == 7
        (weight,) = books.find(UnitWeight, part_number="PIN-2")
        assert (weight.source, weight.u_g) == (WeightSource.SAMPLED, 0.001 / 80**0.5)
        assert books.need(Bin, "K9").pieces == 250
        (entry,) = books.find(StockEntry, to_ref="K9")
        assert (entry.pieces, entry.reason, entry.source) == (250, "counted", "opening count")
    export_catalogue(shop, tmp_path / "out")
    again = import_catalogue(shop, tmp_path / "out", **WHO)
    assert (again.findings, again.changed) == ((), False)
    events = _journal(shop)
    assert [event[:2] for event in events] == [("part added", "PIN-2"), ("bin added", "K9")]
    assert events[1][2]["pieces"] == ["", "250"]


@pytest.mark.parametrize(
    ("cells", "says"),
    [
        ({"price": "7.5"}, "part PIN-2, price '7.5': expected at most 0 decimals in JPY. Do: correct it."),
        ({"longest_mm": ""}, "part PIN-2, longest_mm '': must not be empty. Do: correct it."),
        ({"hazards": "pointy"}, "part PIN-2, hazards 'pointy': has the unknown word 'pointy'. Do: use one of lead,"),
        ({"unit_weight_g": "196"}, "unit_weight_g '196': is more than any metal of 8 mm weighs. Do: check both cells."),
        ({"weight": "1"}, "part PIN-2, weight '1': is no column of the file. Do: use one of bulk_volume_mm3, currency"),
    ],
)
def test_what_a_file_would_not_say_is_found(shop: Shop, cells: dict[str, str], says: str) -> None:
    """Adding and changing find what the reader of parts.csv finds, and write nothing."""
    done = add_part(shop, "PIN-2", PIN | cells, **WHO)

    assert any(says in str(finding) for finding in done.findings)
    assert done.part is None
    with shop.reading() as books:
        assert books.get(Part, "PIN-2") is None
    assert add_part(shop, "PIN-2", PIN, **WHO).findings == ()
    assert any(says in str(finding) for finding in change_part(shop, "PIN-2", cells, **WHO).findings)
    assert [event for event, *_ in _journal(shop)] == ["part added"]


def test_a_number_is_given_once(shop: Shop) -> None:
    """In letters of either case; of a retired part it is said how it comes back, and so it does."""
    add_part(shop, "PIN-2", PIN, **WHO)
    (found,) = add_part(shop, "pin-2", PIN, **WHO).findings
    assert str(found) == "part pin-2, part 'PIN-2': is a part of the shop already. Do: fulfil parts change PIN-2."
    retire_part(shop, "PIN-2", **WHO)
    (found,) = add_part(shop, "PIN-2", PIN, **WHO).findings
    assert (found.says, found.do) == (
        "is a part of the shop already, retired", "fulfil parts change PIN-2 --retired no",
    )  # fmt: skip
    assert change_part(shop, "PIN-2", {"retired": "no"}, **WHO).differences == (("retired", ("yes", "")),)
    assert _order(shop, "T-1", "PIN-2", 5) == []


def test_a_change_is_what_was_typed_and_no_more(shop: Shop) -> None:
    """The other cells and the weight stay; an empty cell is emptied; the journal has before and now."""
    with shop.reading() as books:
        before, weights = books.need(Part, "=M4"), books.find(UnitWeight)
    done = change_part(shop, "=M4", {"price": "15", "supplier": "Invented Screws"}, **WHO)

    assert done.differences == (("supplier", ("", "Invented Screws")), ("price", ("12", "15")))
    with shop.reading() as books:
        assert books.need(Part, "=M4") == before.model_copy(update={"price_minor": 15, "supplier": "Invented Screws"})
        assert books.find(UnitWeight) == weights
    assert change_part(shop, "=M4", {"supplier": ""}, **WHO).part == before.model_copy(update={"price_minor": 15})
    assert change_part(shop, "=M4", {"price": "15"}, **WHO).differences == ()
    assert _journal(shop)[0] == (
        "part changed", "=M4", {"price": ["12", "15"], "supplier": ["", "Invented Screws"]},
    )  # fmt: skip
    assert len(_journal(shop)) == 2
    with pytest.raises(UnknownRefused):
        change_part(shop, "M4", {"price": "1"}, **WHO)


def test_a_weight_of_the_shop_s_own_isn_t_typed_over(shop: Shop) -> None:
    """A file's weight may be corrected, moved to another lot, taken away; one that the shop weighed is sampled."""
    change_part(shop, "=M4", {"lot": "L2", "unit_weight_g": "1.2"}, **WHO)
    with shop.reading() as books:
        assert [(one.lot, one.mean_g) for one in books.find(UnitWeight, part_number="=M4")] == [("L2", 1.2)]
    change_part(shop, "0012", {"unit_weight_g": "", "piece_sd_g": "", "sample_pieces": "", "weight_source": ""}, **WHO)
    own = UnitWeight(part_number="0012", lot="X", mean_g=0.91, u_g=1e-4, piece_sd_g=0.006, sample_pieces=90,
                     source=WeightSource.SAMPLED, as_of=date(2026, 3, 1))  # fmt: skip
    with shop.writing() as books:
        assert books.find(UnitWeight, part_number="0012") == []
        books.add([own])
    with pytest.raises(StateRefused, match="the shop has weighed it itself: fulfil parts sample 0012"):
        change_part(shop, "0012", {"lot": "X", **WEIGHED}, **WHO)
    change_part(shop, "0012", {"lot": "Y", **WEIGHED}, **WHO)
    change_part(shop, "0012", {"price": "350"}, **WHO)
    with shop.reading() as books:
        assert books.find(UnitWeight, part_number="0012", lot="X") == [own]
        assert books.need(UnitWeight, "0012", "Y").mean_g == 0.196


def test_a_retired_part_is_served_and_not_ordered(shop: Shop) -> None:
    """Who still wants it and where it lies is said; its order is planned, a new one isn't taken."""
    assert _order(shop, "T-1", "0012", 10) == []
    set_kit(shop, "1E05", [("0012", 2)], **WHO)
    done = retire_part(shop, "0012", **WHO)

    assert done.tells == (
        "It is still wanted by orders T-1.",
        "It is still wanted by kits 1E05.",
        "Its pieces stay in their bins: K2 (35).",
    )
    with pytest.raises(StateRefused, match="one that isn't retired already"):
        retire_part(shop, "0012", **WHO)
    assert [finding.says for finding in _order(shop, "T-2", "0012", 1)] == ["is retired"]
    assert plan_day(shop, day=NOW.date(), **WHO)[0].bags == 1


def test_a_bin_is_added_against_the_room_and_the_parts(shop: Shop) -> None:
    """No such aisle, outside it, no such part, a code in letters of either case: found, nothing written."""
    add_part(shop, "PIN-2", PIN, **WHO)
    for cells, says in (
        ({"aisle": "Back way"}, "is no aisle of the room, so bin K9 can't be reached"),
        ({"y_mm": "8001"}, "lies outside aisle back way"),
        ({"part": "PIN-3"}, "is no part of the shop"),
        ({"level": "one"}, "expected a whole number from 0 to 999999999"),
        ({"pieces": "-1"}, "expected a whole number from 0 to 999999999"),
        ({"code": "K9"}, "is no column of the file"),
    ):
        assert [finding.says for finding in add_bin(shop, "K9", PLACE | cells, **WHO).findings] == [says]
    (found,) = add_bin(shop, "k1", PLACE, **WHO).findings
    assert str(found) == "bin k1, bin 'K1': is a bin of the shop already. Do: fulfil bins change K1."
    with shop.reading() as books:
        assert books.count(Bin) == 4


def test_a_bin_moves_and_takes_another_part_when_it_is_free(shop: Shop) -> None:
    """It may move full; another part needs an empty bin without promises; a level needs a count."""
    moved = change_bin(shop, "K2", {"section": "4", "y_mm": "5000"}, **WHO)
    assert moved.differences == (("section", ("2", "4")), ("y_mm", ("4000", "5000")))
    with pytest.raises(
        StateRefused,
        match=r"holds 35 pieces by the books; move its pieces; then fulfil bins count K2 --counted 0 books it",
    ):
        change_bin(shop, "K2", {"part": "1E05"}, **WHO)
    with pytest.raises(StateRefused, match="the pieces of the bin 'K2': expected a count: fulfil bins count"):
        change_bin(shop, "K2", {"pieces": "3"}, **WHO)
    count_bin(shop, "K2", 0, **WHO)
    assert change_bin(shop, "K2", {"part": "1E05", "lot": "N"}, **WHO).findings == ()
    assert change_bin(shop, "K2", {"part": "1E05"}, **WHO).differences == ()
    with shop.reading() as books:
        place = books.need(Bin, "K2")
        assert (place.part_number, place.lot, place.section, place.pieces) == ("1E05", "N", 4, 0)


def test_a_tied_bin_stays(shop: Shop) -> None:
    """Pieces, promises: each is refused with what to do; a free bin goes and its code may be given again."""
    _order(shop, "T-1", "0012", 35)
    plan_day(shop, day=NOW.date(), **WHO)
    with pytest.raises(StateRefused, match="Cannot retire the bin 'K2': expected a free bin, but holds 35 pieces by"):
        retire_bin(shop, "K2", **WHO)
    count_bin(shop, "K2", 0, **WHO)
    with pytest.raises(StateRefused, match=r"promised from it to T-1; ship or cancel them; or move its pieces, then"):
        retire_bin(shop, "K2", **WHO)
    bin_lacks(shop, "K2", 0, day=NOW.date(), **WHO)
    assert retire_bin(shop, "K2", **WHO).pieces == 0
    assert retire_bin(shop, "K3", **WHO).part_number == "1E05"
    with shop.reading() as books:
        assert books.get(Bin, "K3") is None
    assert add_bin(shop, "K3", PLACE | {"part": "0012", "pieces": "9"}, **WHO).findings == ()
    assert [event for event, *_ in _journal(shop)][-2:] == ["bin retired", "bin added"]
    with pytest.raises(UnknownRefused):
        retire_bin(shop, "K7", **WHO)


def test_the_command_line_types_every_column() -> None:
    """Each column of parts.csv and bins.csv is an option of its own name, and no other."""
    from fulfil_cli.stock import bin_changing, part_changing

    assert {*part_changing.CELLS, "part"} == {column.name for column in (*PARTS, *WEIGHTS)}
    assert {*bin_changing.CELLS, "bin", "pieces"} == {column.name for column in BINS}
