"""The books keep records as they are, and refuse what breaks the shop's rules with a sentence that names it."""

import json
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import pytest
from sqlmodel import SQLModel

from fulfil.errors import QuantityRefused, StateRefused, UnknownRefused
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, ManifestState, Package, PackageState
from fulfil.records.equipment import BagType, ScaleRecord
from fulfil.records.happening import Happening
from fulfil.records.imported import ImportedFile
from fulfil.records.order import Order, OrderLine, content_digest
from fulfil.records.part import Part, UnitWeight, WeightSource
from fulfil.records.pieces import Owed, OwedBalance, StockBalance, StockEntry, StockMove, There, bin_move
from fulfil.records.place import Bin, ElementKind, RoomElement
from fulfil.records.plan import Bag, CountMethod, PlanRecord, WalkRecord
from fulfil.records.settings import Paper, Settings
from fulfil.records.tiny import BAG, BIN, BOX, LINE, ORDER, PART, SERVICE
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.shop import Shop

NOW = datetime(2026, 3, 2, 8, 30, 15, 250_000, tzinfo=UTC)
WALK = WalkRecord(number="W-1", day=date(2026, 3, 2), length_mm=40_000, orders=1, stops=1, released_at=NOW)
PLANNED = Bag(
    code="B-1", order_number="A-1", line_no=1, part_number="BALL-3", bin_code=BIN.code, pieces=40, bag_type="bag-S",
    walk_number="W-1", cart_position=1, stop_no=1, method=CountMethod.WEIGH, scale_code="bench-1",
    tare_g=Decimal("0.9"), target_g=Decimal("5.34"), lower_g=Decimal("5.31"), upper_g=Decimal("5.37"),
    p_reject=1e-4, p_pass_one_short=1e-9, p_pass_one_over=1e-9,
)  # fmt: skip
OTHERS: list[SQLModel] = [
    UnitWeight(part_number="BALL-3", mean_g=0.1109, u_g=2e-5, piece_sd_g=2e-4, sample_pieces=100,
               source=WeightSource.SAMPLED, as_of=date(2026, 3, 1)),
    RoomElement(kind=ElementKind.AISLE, name="1", x_mm=0),
    ScaleRecord(code="bench-1", accuracy_class="II", e_g=Decimal("0.1"), d_g=Decimal("0.01"), max_g=Decimal(2200),
                min_g=Decimal("0.5"), repeatability_g=0.01),
    Settings(shop_name="Invented", paper=Paper.LETTER, risk_pass=0.0005, cart_max_load_g=Decimal("39999.5")),
    PlanRecord(day=date(2026, 3, 2), length_mm=40_000, one_by_one_mm=40_000, bound_mm=40_000, bound_is_closed=True),
    WALK,
    PLANNED,
    Package(number="K-1", order_number="A-1", service_code="post", box_type="box-1", state=PackageState.SEALED,
            expected_g=Decimal("45.34"), lower_g=Decimal(44), upper_g=Decimal(47), gross_g=Decimal(45),
            visible_from_g=Decimal("2.5"), sealed_at=NOW),
    Manifest(number="M-1", service_code="post", day=date(2026, 3, 2), packages=1, weight_g=Decimal(45)),
    JournalEntry(at=NOW, person="ann", event="tested", subject="A-1"),
    WeighingRecord(at=NOW, person="ann", scale_code="bench-1", kind=WeighedKind.BAG, subject="B-1", pieces=40,
                   indication_g=Decimal("5.35"), verdict=Verdict.PASSED),
    ImportedFile(digest="a" * 64, name="orders.csv", at=NOW, person="ann"),
]  # fmt: skip


@pytest.mark.parametrize("record", OTHERS, ids=lambda record: type(record).__name__)
def test_every_record_comes_back_as_it_was(shop: Shop, record: SQLModel) -> None:
    """A record of each kind is read as an equal plain record of the same class, masses and times exact."""
    with shop.writing() as books:
        if isinstance(record, Bag):
            books.add([WALK])
        books.add([record])
    with shop.reading() as books:
        (back,) = books.find(type(record))

    assert back == record
    assert type(back) is type(record)
    assert [type(value) for value in back.__dict__.values()] == [type(value) for value in record.__dict__.values()]


@pytest.mark.parametrize(
    ("kind", "record"), [(Part, PART), (Bin, BIN), (BagType, BAG), (type(BOX), BOX), (type(SERVICE), SERVICE),
                         (Order, ORDER), (OrderLine, LINE)],
)  # fmt: skip
def test_tiny_shop_comes_back(shop: Shop, kind: type[SQLModel], record: SQLModel) -> None:
    """The records that the examples share are stored without loss."""
    with shop.reading() as books:
        assert books.find(kind) == [record]


def test_records_are_decoupled(shop: Shop) -> None:
    """Changing a record that was read changes nothing in the shop."""
    with shop.writing() as books:
        books.need(Part, "BALL-3").description = "Something else"
    with shop.reading() as books:
        assert books.need(Part, "BALL-3") == PART


def test_get_and_need(shop: Shop) -> None:
    """A key of several fields is given in their order; what isn't there is None, or refused when needed."""
    with shop.reading() as books:
        assert books.get(OrderLine, "A-1", 1) == LINE
        assert books.get(OrderLine, "A-1", 2) is None
        with pytest.raises(UnknownRefused) as refused:
            books.need(OrderLine, "A-1", 2)
        with pytest.raises(TypeError, match="order_number, line_no"):
            books.get(OrderLine, "A-1")
    assert str(refused.value) == "Cannot find the order line 'A-1, 2': expected one that the shop knows."


def test_find_is_in_the_order_of_the_key(shop: Shop) -> None:
    """Records come in code point order of their key, whatever the order they were added in."""
    numbers = ["b", "B", "a-10", "a-9", "Z", "_"]
    with shop.writing() as books:
        books.add([PART.model_copy(update={"number": number}) for number in numbers])
    with shop.reading() as books:
        assert [part.number for part in books.find(Part)] == sorted([*numbers, "BALL-3"])


def test_find_by_list_and_by_nothing(shop: Shop) -> None:
    """A list means any of its values, an empty list none, None the missing value."""
    with shop.writing() as books:
        books.add([PART.model_copy(update={"number": f"P-{i}", "size": f"{i % 2}"}) for i in range(4)])
    with shop.reading() as books:
        found = books.find(Part, number=["P-3", "P-0", "none"])
        assert [part.number for part in found] == ["P-0", "P-3"]
        assert [part.number for part in books.find(Part, number=("P-1", "P-2"), size="0")] == ["P-2"]
        assert books.find(Part, number=[]) == []
        assert books.count(Part, size="1") == 2
        assert books.count(Package, gross_g=None) == 0


def test_find_by_a_list_of_any_length(shop: Shop) -> None:
    """A list longer than a statement's parameters is searched in parts, each record once, in the order of the key."""
    with shop.writing() as books:
        books.add([PART.model_copy(update={"number": f"P-{i:05}"}) for i in range(300)])
    numbers = [f"P-{i:05}" for i in reversed(range(45_000))] * 2
    with shop.reading() as books:
        assert [part.number for part in books.find(Part, number=numbers)] == [f"P-{i:05}" for i in range(300)]
        assert books.count(Part, number=numbers) == 300


def test_add_refuses_a_key_that_is_there(shop: Shop) -> None:
    """Adding a part twice is refused, naming it, also when both come in one addition."""
    other = PART.model_copy(update={"number": "BALL-4"})
    with shop.writing() as books:
        for records, named in (([other, PART], "BALL-3"), ([other, other], "BALL-4")):
            with pytest.raises(StateRefused) as refused:
                books.add(records)
            assert str(refused.value) == f"Cannot add the part '{named}': expected one that isn't there yet."
        assert books.find(Part) == [PART]


def test_add_refuses_what_points_nowhere(shop: Shop) -> None:
    """A line of an unknown part is refused, naming line and part."""
    with shop.writing() as books, pytest.raises(StateRefused) as refused:
        books.add([LINE.model_copy(update={"line_no": 2, "part_number": "BALL-9"})])
    assert str(refused.value) == "Cannot add the order line 'A-1, 2': expected a known part, got BALL-9."


def test_add_takes_records_in_any_order(shop: Shop) -> None:
    """Records of several kinds are added parents first, however they were listed."""
    part = PART.model_copy(update={"number": "BALL-4"})
    with shop.writing() as books:
        new = BIN.model_copy(update={"code": "x", "part_number": "BALL-4", "pieces": 0})
        books.add([new, PLANNED, WALK, part])
        assert books.need(Bin, "x").part_number == "BALL-4"


def test_broken_rule_is_named(shop: Shop) -> None:
    """A record changed past its validation meets the schema's rule."""
    with shop.writing() as books, pytest.raises(StateRefused) as refused:
        books.replace([LINE.model_copy(update={"unit_price_minor": -1})])
    assert str(refused.value) == (
        "Cannot replace the order line 'A-1, 1': expected values that keep the shop's rules "
        "(the rule order line unit price minor range)."
    )


def test_mass_that_is_not_exact_is_refused(shop: Shop) -> None:
    """A computed mass must be rounded by a named rule before it is stored; nothing is rounded in silence."""
    with pytest.raises(QuantityRefused, match="at most 6 decimals"), shop.writing() as books:
        books.replace([BAG.model_copy(update={"tare_g": Decimal(1) / 3})])
    with shop.reading() as books:
        assert books.find(BagType) == [BAG]


def test_replace_keeps_what_is_no_field(shop: Shop) -> None:
    """An order that goes on keeps the digest of what the customer said first."""
    moved = ORDER.model_copy(update={"city": "Elsewhere"})
    with shop.writing() as books:
        books.replace([moved])
        assert books.find(Order) == [moved]
        assert books.order_digests(["A-1", "none"]) == {"A-1": content_digest(ORDER, [LINE])}


def test_replace_of_a_record_that_is_all_key(shop: Shop) -> None:
    """Replacing the settings twice leaves one row."""
    with shop.writing() as books:
        assert books.settings() == Settings()
        for name in ("First", "Second"):
            books.replace([Settings(shop_name=name)])
        assert books.settings().shop_name == "Second"
        assert books.count(Settings) == 1


def test_remove(shop: Shop) -> None:
    """Removing says how many went; what others point to stays."""
    with shop.writing() as books:
        assert books.remove(BagType, code=BAG.code) == 1
        assert books.remove(BagType, code=BAG.code) == 0
        with pytest.raises(StateRefused, match="one that nothing needs"):
            books.remove(OrderLine, order_number="A-1")
        with pytest.raises(StateRefused) as refused:
            books.remove(Part, number="BALL-3")
        assert books.find(Part) == [PART]
    assert str(refused.value) == (
        "Cannot remove the part 'BALL-3': expected one that nothing needs "
        "(something that points to it, or that it points to)."
    )


def test_numbers_of_a_failed_transaction_are_given_again(shop: Shop) -> None:
    """Each series counts 1, 2, 3 by itself; a failed transaction leaves no gap."""
    with shop.writing() as books:
        assert [books.next_number(series) for series in ("walk", "walk", "bag")] == [1, 2, 1]
    with pytest.raises(ZeroDivisionError), shop.writing() as books:  # noqa: PT012 - the way out is the point
        books.next_number("walk")
        raise ZeroDivisionError
    with shop.writing() as books:
        assert books.next_number("walk") == 3


def _entry(pieces: int, **more: str) -> StockMove:
    fields: dict[str, Any] = {
        "part_number": "BALL-3",
        "bin_code": BIN.code,
        "reason": "picked",
        "source": "test",
    } | more
    return bin_move(pieces=pieces, **fields)


def test_a_move_changes_level_and_ledger(shop: Shop) -> None:
    """The level is the sum of the bin's entries; entries of one booking count together."""
    with shop.writing() as books:
        books.move(stock=[_entry(-45), _entry(10)], at=NOW, person="ann")

        assert books.need(Bin, BIN.code).pieces == 5
        assert [entry.bin_change for entry in books.find(StockEntry, person="ann")] == [40, -45, 10]


@pytest.mark.parametrize(
    ("entry", "says"),
    [
        (_entry(-42), f"Cannot take 41 pieces from the bin '{BIN.code}': expected at most its 40 pieces."),
        (_entry(1, bin_code="x"),
         "Cannot book BALL-3 in the bin 'x': expected a bin that holds this part, got an unknown bin."),
        (_entry(1, part_number="GEAR"),
         f"Cannot book GEAR in the bin '{BIN.code}': expected a bin that holds this part, got a bin of BALL-3."),
    ],
)  # fmt: skip
def test_a_move_is_refused(shop: Shop, entry: StockMove, says: str) -> None:
    """A level below zero, an unknown bin or another part's bin is refused, and nothing of the booking stays."""
    with shop.writing() as books:
        with pytest.raises(StateRefused) as refused:
            books.move(stock=[_entry(1), entry], at=NOW, person="ann")
        assert str(refused.value) == says
        assert books.need(Bin, BIN.code).pieces == 40
        assert books.count(StockEntry) == 1


def test_level_changes_only_by_booking(shop: Shop) -> None:
    """A level can't be overwritten past the ledger, and entries can't be added past the level."""
    with shop.writing() as books:
        with pytest.raises(StateRefused) as refused:
            books.replace([BIN.model_copy(update={"pieces": 41})])
        with pytest.raises(StateRefused, match="a move"):
            books.add([_entry(1)])
    assert str(refused.value) == (
        f"Cannot set pieces to '41' of the bin '{BIN.code}': expected a move of its pieces (books.move)."
    )


def test_what_is_recorded_can_not_be_replaced_or_removed(shop: Shop) -> None:
    """Ledger, journal and weighings only grow."""
    with shop.writing() as books:
        books.journal(at=NOW, person="ann", event=Happening.BAG_BOXED, subject="A-1")
        with pytest.raises(StateRefused, match="what is recorded stays"):
            books.replace(books.find(JournalEntry))
        with pytest.raises(StateRefused, match="recorded rows stay as they are"):
            books.remove(JournalEntry)
        for kind in (StockEntry, OwedBalance):
            with pytest.raises(StateRefused, match="expected a move"):
                books.remove(kind)


BALANCES: list[SQLModel] = [
    OwedBalance(order_number="A-1", line_no=1, part_number="BALL-3", place=Owed.WAITING, pieces=50),
    StockBalance(place=There.SCRAPPED, part_number="BALL-3", pieces=3),
]


@pytest.mark.parametrize("record", BALANCES, ids=lambda record: type(record).__name__)
def test_a_balance_is_written_by_a_move_only(shop: Shop, record: SQLModel) -> None:
    """A balance that no move made can't be added, put in another's place, nor changed."""
    kind = type(record)
    with shop.writing() as books:
        before = books.find(kind)
        for write in (
            lambda: books.add([record]),
            lambda: books.replace([record]),
            lambda: books.change([record], {"pieces": 4}),
        ):
            with pytest.raises(StateRefused, match=r"expected (a move \(books\.move\)|what is recorded stays)"):
                write()
        assert books.find(kind) == before


def test_a_new_bin_is_empty(shop: Shop) -> None:
    """A bin with a level that no move brought is refused, added or put in its place; its opening count is a move."""
    new = BIN.model_copy(update={"code": "new", "pieces": 7})
    says = "Cannot set pieces to '7' of the bin 'new': expected 0 in a new one, then a move of its pieces (books.move)."
    with shop.writing() as books:
        for write in (books.add, books.replace):
            with pytest.raises(StateRefused) as refused:
                write([new])
            assert str(refused.value) == says
        assert books.get(Bin, "new") is None
        books.add([new.model_copy(update={"pieces": 0})])
        books.move(stock=[_entry(7, bin_code="new")], at=NOW, person="ann")
        assert books.need(Bin, "new").pieces == 7


def test_an_order_line_comes_into_being_with_its_move(shop: Shop) -> None:
    """A line that nobody ordered can't be put into the books by replacing it."""
    new = LINE.model_copy(update={"line_no": 9})
    with shop.writing() as books, pytest.raises(StateRefused) as refused:
        books.replace([new])
    assert str(refused.value) == ("Cannot replace the order line 'A-1, 9': expected one that is there (books.add).")


def test_closed_manifest_stays(shop: Shop) -> None:
    """An open manifest may change until it is closed; then neither it nor its packages' weights do."""
    package, manifest = (record for record in OTHERS if isinstance(record, Package | Manifest))
    closed = manifest.model_copy(update={"state": ManifestState.CLOSED, "closed_at": NOW, "closed_by": "ann"})
    shipped = package.model_copy(update={"manifest_number": "M-1"})
    with shop.writing() as books:
        books.add([manifest, shipped])
        books.replace([closed])
        books.replace([shipped.model_copy(update={"state": PackageState.SHIPPED})])
        for change in (
            lambda: books.replace([closed.model_copy(update={"packages": 2})]),
            lambda: books.remove(Manifest),
            lambda: books.replace([shipped.model_copy(update={"gross_g": Decimal(44)})]),
            lambda: books.replace([shipped.model_copy(update={"manifest_number": "M-2"})]),
            lambda: books.remove(Package),
        ):
            with pytest.raises(StateRefused, match="recorded rows stay as they are"):
                change()


def test_journal(shop: Shop) -> None:
    """Particulars become JSON with sorted keys and exact numbers; what has no exact text is refused."""
    with shop.writing() as books:
        books.journal(
            at=NOW, person="ann", event=Happening.PART_CHANGED, subject="B-1", is_simulated=True,
            particulars={"verdict": Verdict.PASSED, "indication_g": Decimal("5.30"), "on": date(2026, 3, 2)},
        )  # fmt: skip
        (entry,) = books.find(JournalEntry, subject="B-1")
        with pytest.raises(TypeError, match="can't hold"):
            books.journal(at=NOW, person="ann", event=Happening.PART_CHANGED, subject="B-1", particulars={"set": {1}})

    assert entry.is_simulated
    assert list(json.loads(entry.particulars)) == ["indication_g", "on", "verdict"]
    assert json.loads(entry.particulars)["indication_g"] == "5.30"
