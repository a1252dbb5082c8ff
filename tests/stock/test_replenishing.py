"""The evening's replenishment in the harbour shop: by hand from picked pieces, to the move between two bins.

WAKA-3 holds 40 reeds and is the picking bin, TAI-2 is the reserve here, with 300. The shop walked on nine days, and on
three of them reeds were picked: 4, 6, 11. With a service level of 0.9 the most of a day is the 9th of nine takes
(0.9 × 10 = 9): 11. Mean 21/9. What is free decides: with 40 nothing is brought, with 8 there is: for five days
11 + ⌈4 · 21/9⌉ = 21 are wanted, 13 more than the 8.
"""

from datetime import timedelta

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main

from fulfil.errors import StateRefused
from fulfil.papers.twin import text
from fulfil.records.pieces import StockEntry, There, bin_move
from fulfil.records.place import Bin
from fulfil.records.plan import WalkRecord
from fulfil.standards import dangerous_goods
from fulfil.stock.bin_to_bin import carry
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.levels import count_bin, ledger_levels
from fulfil.stock.replenishing import refills
from fulfil.stock.replenishment_paper import replenishment_sheet
from fulfil.store.shop import Shop, open_shop
from tests import harbour_shop as harbour

PICKED = {3: 4, 5: 6, 8: 11}
"""Reeds picked so many days ago."""


def bins_file(picking_lot: str = "") -> str:
    """The harbour's bins; the reeds of TAI-2 are a reserve of 300, of lot L1."""
    head, *rows = harbour.FILES["bins.csv"].splitlines()
    of = {"TAI-2": "300,L1,reserve", "WAKA-3": f"40,{picking_lot},"}
    cells = [row.rpartition(",") for row in rows]
    return f"{head},lot,use\n" + "".join(
        f"{place},{of.get(place.split(',')[0], f'{level},,')}\n" for place, _, level in cells
    )


def make(folder, picking_lot: str = "L1", **more: str) -> Shop:
    """The shop with nine days of walks, on three of which reeds were picked; it is left open."""
    shop = open_shop(folder / "harbour.db", create=True)
    settings = harbour.FILES["settings.csv"] + "service_level,0.9\n"
    files = harbour.write_catalogue(
        folder / "files", {"bins.csv": bins_file(picking_lot), "settings.csv": settings} | more
    )
    assert import_catalogue(shop, files, **harbour.WHO).findings == ()
    with shop.writing() as books:
        for ago in range(1, 10):
            day, at = harbour.DAY - timedelta(days=ago), harbour.NOW - timedelta(days=ago)
            books.add([WalkRecord(number=f"W{ago}", day=day, length_mm=1, orders=1, stops=1, released_at=at)])
        for ago, pieces in PICKED.items():
            move = bin_move(part_number="REED-A", bin_code="WAKA-3", pieces=-pieces, reason="picked", source="B1",
                            other=There.BAG, ref=f"B{ago}")  # fmt: skip
            books.move(stock=[move], at=harbour.NOW - timedelta(days=ago), person="ngaio")
    return shop


@pytest.fixture
def shop(tmp_path):
    """The shop, 8 reeds left in the picking bin."""
    with make(tmp_path) as opened:
        count_bin(opened, "WAKA-3", 8, **harbour.WHO)
        yield opened


def test_by_hand(shop):
    """13 of lot L1 go from the reserve to the picking bin; the mean is 21/9."""
    with shop.reading() as books:
        found = refills(books, day=harbour.DAY, days=5)
        (row,) = found.rows

    assert (row.from_bin.code, row.to_bin.code, row.pieces, row.free) == ("TAI-2", "WAKA-3", 13, 8)
    assert (row.usual.most, row.usual.days, row.usual.chance) == (11, 9, 0.9)
    assert row.usual.mean == pytest.approx(21 / 9)
    assert found.filling == ("WAKA-3",)


def test_enough_is_left_alone(shop):
    """11 free pieces are what a day takes at most: nothing is carried, whatever the reserve holds."""
    count_bin(shop, "WAKA-3", 11, **harbour.WHO)
    with shop.reading() as books:
        assert refills(books, day=harbour.DAY, days=5).rows == ()


def test_what_is_promised_is_not_free(shop):
    """11 in the bin, 4 of them promised to an order: 7 are free, so 14 are brought."""
    count_bin(shop, "WAKA-3", 11, **harbour.WHO)
    harbour.key(shop, "H-1", ("REED-A", 4))
    harbour.plan(shop)
    with shop.reading() as books:
        (row,) = refills(books, day=harbour.DAY, days=5).rows
    assert (row.free, row.pieces) == (7, 14)


def test_the_paper_says_how_to_count(shop):
    """Where from, where to, how many, by weight with its window."""
    with shop.reading() as books:
        said = text(replenishment_sheet(books, day=harbour.DAY))
    for words in ("TAI-2", "WAKA-3", "REED-A", "13", "8 left", "at most 11 on 90 % of days", "aim at"):
        assert words in said


def test_the_paper_prints_the_usual_cautions(tmp_path):
    """Reeds of leaded brass: the words beside the row, and once the sentences, with who governs."""
    parts = harbour.FILES["parts.csv"].replace(",,brass reed tongues", ",leaded-brass,brass reed tongues")
    assert parts != harbour.FILES["parts.csv"]
    with make(tmp_path, **{"parts.csv": parts}) as shop:
        count_bin(shop, "WAKA-3", 8, **harbour.WHO)
        with shop.reading() as books:
            sheet = replenishment_sheet(books, day=harbour.DAY)
    assert sheet.fetch[0].cautions == ("LEADED BRASS",)
    assert sheet.cautions == dangerous_goods.cautions(["leaded-brass"])


def test_a_move_is_one_entry_of_both_bins(shop):
    """The ledger's sums are the levels; not a piece more or less in the shop."""
    before = harbour.level(shop, "TAI-2"), harbour.level(shop, "WAKA-3")
    done = carry(shop, "TAI-2", "WAKA-3", 13, "replenishment list", **harbour.WHO)

    assert (done.from_bin.pieces, done.to_bin.pieces) == (before[0] - 13, before[1] + 13)
    with shop.reading() as books:
        levels = ledger_levels(books)
        (entry,) = books.find(StockEntry, reason="moved")
        assert {place.code: place.pieces for place in books.find(Bin)} == levels
    assert (entry.change_of("TAI-2"), entry.change_of("WAKA-3"), entry.bin_change) == (-13, 13, 0)


def test_another_lot_only_into_an_empty_bin(tmp_path):
    """Lot L2 lies in the picking bin: a finding, no row, and a refused move; once it is empty it takes L1."""
    with make(tmp_path, picking_lot="L2") as shop:
        count_bin(shop, "WAKA-3", 8, **harbour.WHO)
        with shop.reading() as books:
            found = refills(books, day=harbour.DAY, days=5)
        assert found.rows == ()
        assert "another lot" in found.findings[0].says
        with pytest.raises(StateRefused, match="of lot L2"):
            carry(shop, "TAI-2", "WAKA-3", 13, "evening", **harbour.WHO)

        count_bin(shop, "WAKA-3", 0, **harbour.WHO)
        assert carry(shop, "TAI-2", "WAKA-3", 13, "evening", **harbour.WHO).to_bin.lot == "L1"


@pytest.mark.parametrize(
    ("to_code", "pieces", "says"),
    [
        ("TAI-2", 5, "another bin"),
        ("MUA-1", 5, "a bin of REED-A"),
        ("WAKA-3", 301, "at most its 300"),
        ("WAKA-3", 0, "one piece"),
    ],
)
def test_refusals(shop, to_code, pieces, says):
    """Itself, another part, more than there is, nothing at all."""
    with pytest.raises(StateRefused, match=says):
        carry(shop, "TAI-2", to_code, pieces, "evening", **harbour.WHO)
    assert harbour.level(shop, "TAI-2") == 300


def test_an_evening_as_it_is_typed(tmp_path):
    """List and paper, the move it asks for, the ledger; then there is nothing left to bring."""
    with make(tmp_path) as opened:
        count_bin(opened, "WAKA-3", 8, **harbour.WHO)
    more = ["--shop", str(tmp_path / "harbour.db"), "--at", harbour.NOW.isoformat(), "--by", "ngaio"]

    def typed(*words, leaves=0):
        ran = CliRunner().invoke(main, [*words, *more], catch_exceptions=False)
        assert ran.exit_code == leaves, ran.output
        return ran.output

    listed = typed("stock", "replenish", "--out", str(tmp_path / "papers"), leaves=1)
    assert "TAI-2  WAKA-3  REED-A" in listed
    assert "2.3 ± 1.3" in listed
    (paper,) = (tmp_path / "papers").glob("*-replenishment-list.pdf")
    assert paper.read_bytes()[:5] == b"%PDF-"
    assert "bin TAI-2 holds 287, bin WAKA-3 21 now" in typed("stock", "move", "TAI-2", "WAKA-3", "13")
    assert "The entries sum to 287; the books say 287." in typed("stock", "ledger", "TAI-2")
    assert "hold enough for tomorrow" in typed("stock", "replenish")


def test_the_books_add_up_after_a_move(tmp_path):
    """All six reeds of TAI-2 go into WAKA-3: TAI-2 is free, and `shop verify` finds every piece in one place."""
    with harbour.open_harbour(tmp_path) as shop:
        carry(shop, "TAI-2", "WAKA-3", 6, "one bin is enough", **harbour.WHO)
        assert (harbour.level(shop, "TAI-2"), harbour.level(shop, "WAKA-3")) == (0, 46)
    ran = CliRunner().invoke(main, ["shop", "verify", "--shop", str(tmp_path / "harbour.db")], catch_exceptions=False)
    assert ran.exit_code == 0, ran.output
