"""Which bin, through a day of the harbour shop: two lots of a part, a reserve, from the catalogue to the ledger.

The harbour's reed tongues lie in TAI-2 (6 pieces of the lot of May) and in WAKA-3 (40 of the lot of March), its snail
cams in WAKA-1 (25) and MUA-4 (3, here a reserve). By hand: H-1 wants 25 reeds and gets them of March; H-2 wants 18 and
gets the 15 that are left of March and 3 of May.
"""

from datetime import timedelta

import pytest

from fulfil.orders.came_in import came_in
from fulfil.records.pieces import StockEntry, There
from fulfil.records.place import Bin
from fulfil.records.plan import BagState
from fulfil.stock.bin_to_bin import carry
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.levels import receive
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.papers import pick_stops
from tests import harbour_shop as harbour

HEAD = "bin,aisle,side,section,level,y_mm,part,pieces,lot,use,received_on\n"
LOTS = {"TAI-2": ",MAY,,2026-05-11", "WAKA-3": ",MARCH,,2026-03-02", "MUA-4": ",,reserve,"}


def bins_file() -> str:
    """The harbour's bins with lots, a reserve and days of receipt."""
    rows = harbour.FILES["bins.csv"].splitlines()[1:]
    return HEAD + "".join(f"{row}{LOTS.get(row.split(',')[0], ',,,')}\n" for row in rows)


@pytest.fixture
def shop(tmp_path):
    """The shop from its files, every bin with its opening count."""
    with open_shop(tmp_path / "harbour.db", create=True) as opened:
        folder = harbour.write_catalogue(tmp_path / "files", {"bins.csv": bins_file()})
        assert import_catalogue(opened, folder, **harbour.WHO).findings == ()
        yield opened


def taken(shop: Shop, part: str) -> list[tuple[str, str, int]]:
    """Order, bin and pieces of each bag of a part."""
    found = [(bag.order_number, bag.bin_code, bag.pieces) for bag in harbour.bags(shop, part_number=part)]
    return sorted(found)


def test_the_older_lot_is_used_up_first(shop, tmp_path):
    """Plan, pick list, check and ledger agree, and no piece is anywhere twice."""
    harbour.key(shop, "H-1", ("REED-A", 25))
    harbour.key(shop, "H-2", ("REED-A", 18), minutes=5)
    harbour.plan(shop)

    assert taken(shop, "REED-A") == [("H-1", "WAKA-3", 25), ("H-2", "TAI-2", 3), ("H-2", "WAKA-3", 15)]

    (walk,) = harbour.release(shop, tmp_path)
    with shop.reading() as books:
        said = {stop.bin_code: [bag.pieces for bag in stop.bags] for stop in pick_stops(books, walk)}
    assert said == {"TAI-2": [3], "WAKA-3": [25, 15]}
    for number in ("H-1", "H-2"):
        harbour.check(shop, number)
    assert {bag.state for bag in harbour.bags(shop)} == {BagState.PASSED}
    with shop.reading() as books:
        left = {code: sum(one.pieces for one in books.find(StockEntry, from_place=There.BIN, from_ref=code))
                for code in ("TAI-2", "WAKA-3")}  # fmt: skip
    assert left == {"TAI-2": 3, "WAKA-3": 40}
    assert (harbour.level(shop, "TAI-2"), harbour.level(shop, "WAKA-3")) == (3, 0)


def test_without_it_a_line_comes_from_one_bin(tmp_path):
    """The setting off: 6 of H-2's come from nowhere but the bin that holds all of it, whatever its lot."""
    settings = harbour.FILES["settings.csv"] + "first_in_first_out,no\n"
    changed = {"bins.csv": bins_file().replace("2026-03-02", "2026-06-01"), "settings.csv": settings}
    with open_shop(tmp_path / "harbour.db", create=True) as shop:
        done = import_catalogue(shop, harbour.write_catalogue(tmp_path / "files", changed), **harbour.WHO)
        assert done.findings == ()
        harbour.key(shop, "H-1", ("REED-A", 7))
        harbour.plan(shop)

        assert taken(shop, "REED-A") == [("H-1", "WAKA-3", 7)]


def test_the_order_of_the_lots_turns_with_their_days(tmp_path):
    """The same bins, March called June: the 6 of May go first, then one of the others."""
    changed = {"bins.csv": bins_file().replace("2026-03-02", "2026-06-01")}
    with open_shop(tmp_path / "harbour.db", create=True) as shop:
        import_catalogue(shop, harbour.write_catalogue(tmp_path / "files", changed), **harbour.WHO)
        harbour.key(shop, "H-1", ("REED-A", 7))
        harbour.plan(shop)

        assert taken(shop, "REED-A") == [("H-1", "TAI-2", 6), ("H-1", "WAKA-3", 1)]


def test_a_reserve_gives_what_the_picking_bins_lack(shop):
    """Two cams would empty the reserve of 3 sooner, but they come from the picking bin; 27 need 2 of the reserve."""
    harbour.key(shop, "H-1", ("CAM-7", 2))
    harbour.plan(shop)
    assert taken(shop, "CAM-7") == [("H-1", "WAKA-1", 2)]

    harbour.key(shop, "H-2", ("CAM-7", 25), minutes=5)
    harbour.plan(shop)
    assert {(code, sum(n for _, other, n in taken(shop, "CAM-7") if other == code)) for _, code, _ in
            taken(shop, "CAM-7")} == {("WAKA-1", 25), ("MUA-4", 2)}  # fmt: skip


def test_what_is_received_later_leaves_later(shop):
    """TAI-2 is filled up in July; its 6 of May are still older than that, but once they're gone it is the newer bin."""
    at = harbour.NOW + timedelta(days=1)
    receive(shop, "TAI-2", 50, "delivery note 4711", at=at, person="ngaio")
    harbour.key(shop, "H-1", ("REED-A", 43))
    harbour.plan(shop, day=harbour.DAY + timedelta(days=1), at=at)
    assert taken(shop, "REED-A") == [("H-1", "TAI-2", 3), ("H-1", "WAKA-3", 40)]


def test_pieces_that_went_to_and_fro_keep_their_day(tmp_path):
    """Sixty moves between two bins are looked up once each; looked up anew by each later one they were 2 to the 60."""
    with harbour.open_harbour(tmp_path) as shop:
        for turn in range(60):
            there, back = ("WAKA-1", "MUA-4") if turn % 2 == 0 else ("MUA-4", "WAKA-1")
            at = harbour.NOW + timedelta(days=1, minutes=turn)
            carry(shop, there, back, 20, "tidied", at=at, person="ngaio")
        with shop.reading() as books:
            bins = books.find(Bin, part_number="CAM-7")
            assert came_in(books, bins, ["CAM-7"]) == {"WAKA-1": harbour.DAY, "MUA-4": harbour.DAY}
