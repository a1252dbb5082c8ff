"""Orders come in each whole or not at all, and the same one only once."""

import shutil
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from fulfil.errors import StoreRefused
from fulfil.orders.importing import OrdersImport, add_order, import_orders
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import Shop, open_shop

NOW = datetime(2026, 3, 2, 11, tzinfo=UTC)
TINY = Path(__file__).parents[1] / "files" / "tiny_catalogue"
KEYED = Order(
    number="T-1", source="phone", received_at=NOW, name="Invented Caller", street="Sample Lane 3", city="Sampletown",
    country="AT", service_code="van", currency="EUR",
)  # fmt: skip
LINE = OrderLine(order_number="T-1", line_no=1, part_number="BALL-3", pieces=10, unit_price_minor=2)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The tiny catalogue's files in a folder of the test's own."""
    return Path(shutil.copytree(TINY, tmp_path / "catalogue"))


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """A shop with the tiny catalogue."""
    with open_shop(tmp_path / "shop.db", create=True, wait_s=0.05) as opened:
        assert import_catalogue(opened, TINY, at=NOW, person="ann").findings == ()
        yield opened


def _import(shop: Shop, path: Path) -> OrdersImport:
    return import_orders(shop, path, at=NOW, person="ann")


def _changed(shop: Shop, folder: Path, old: str, new: str) -> OrdersImport:
    path = folder / "orders.csv"
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return _import(shop, path)


def _orders(shop: Shop) -> tuple[list[Order], list[OrderLine], int]:
    with shop.reading() as books:
        return books.find(Order), books.find(OrderLine), books.count(JournalEntry)


def taken(new: tuple[str, ...], unchanged: tuple[str, ...]) -> OrdersImport:
    """An import of nothing but orders, in which nothing was wrong."""
    return OrdersImport(
        new, unchanged, (), (), charges=0, returns=0, matched_pieces=0, waiting_pieces=0, notes=(), refused=()
    )


def test_new_orders(shop: Shop, folder: Path) -> None:
    """Orders of a file are received with their lines; missing prices and currencies are the shop's."""
    result = _import(shop, folder / "orders.csv")

    assert result == taken(("A-1", "A-2"), ())
    orders, lines, _ = _orders(shop)
    assert [(order.number, order.state, order.currency) for order in orders] == [
        ("A-1", OrderState.RECEIVED, "EUR"), ("A-2", OrderState.RECEIVED, "EUR"),
    ]  # fmt: skip
    assert orders[0].street == "Sample Street 1 Back house"
    assert orders[0].received_at == datetime(2026, 3, 2, 7, 15, tzinfo=UTC)
    assert [(line.order_number, line.line_no, line.pieces, line.unit_price_minor) for line in lines] == [
        ("A-1", 1, 50, 2), ("A-1", 2, 3, 150), ("A-2", 1, 2, 490),
    ]  # fmt: skip
    with shop.reading() as books:
        received = books.find(JournalEntry, event="order received")
        assert [entry.subject for entry in received] == ["A-1", "A-2"]
        assert received[0].particulars == '{"lines": 2, "pieces": 53, "source": "web"}'


@pytest.mark.parametrize("name", ["orders.csv", "orders.json"])
def test_same_file_twice_changes_nothing(shop: Shop, folder: Path, name: str) -> None:
    """The second time every order is unchanged, though it has gone on, prices changed and a part was retired since."""
    first = _import(shop, folder / name)
    with shop.writing() as books:
        books.replace([order.model_copy(update={"held_reason": "on hold"}) for order in books.find(Order)])
        parts = [part.model_copy(update={"price_minor": 999, "is_retired": True}) for part in books.find(Part)]
        books.replace(parts)
    before = _orders(shop)
    again = _import(shop, folder / name)

    assert again == taken((), first.new)
    assert _orders(shop) == before


def test_same_moment_in_another_offset_is_the_same_order(shop: Shop, folder: Path) -> None:
    """A web shop that changes to summer time sends the same orders."""
    _import(shop, folder / "orders.csv")

    assert _changed(shop, folder, "T09:00:00Z", "T10:00:00+01:00").unchanged == ("A-1", "A-2")


def test_other_content_under_a_known_number_is_a_conflict(shop: Shop, folder: Path) -> None:
    """What differs is shown, nothing is applied, and the other orders come in."""
    _import(shop, folder / "orders.csv")
    before = _orders(shop)
    path = folder / "orders.csv"
    text = path.read_text(encoding="utf-8").replace("BALL-3,50", "BALL-3,60").replace("Sampletown", "Elsewhere")
    path.write_text(text.replace("A-2,", "A-3,").replace("EUR,1,", "EUR,3,"), encoding="utf-8")
    result = _import(shop, path)

    assert [str(conflict) for conflict in result.conflicts] == [
        "orders.csv, line 2, order 'A-1': was received before with other content: city 'Sampletown' is now "
        "'Elsewhere'; line 1 is gone; line 3 is new. Do: ask the customer, then change the order in the shop."
    ]
    assert (result.new, result.unchanged, result.findings) == (("A-3",), (), ())
    orders, lines, _ = _orders(shop)
    assert orders[:2] == before[0]
    assert lines[:3] == before[1]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("GEAR-12,3", "GEAR-13,3", "orders.csv, line 4, part 'GEAR-13': is no part of the shop."),
        ("BALL-3,50", "BALL-3,0", "orders.csv, line 2, pieces '0': expected a whole number from 1"),
        ("BALL-3,50", "BALL-3,1000000", "orders.csv, line 2, pieces '1000000': must be less than or equal to 999999."),
        (",NA,", ",XQ,", "orders.csv, line 2, country 'XQ': expected an assigned alpha-2 code"),
        ("50,0.02", "50,0.025", "orders.csv, line 2, unit_price '0.025': expected at most 2 decimals in EUR."),
        (",EUR,1,", ",USD,1,", "orders.csv, line 4, unit_price '': is needed in USD, the part has a price in EUR."),
        ("Back house", "x" * 200, "orders.csv, line 2, street 'Sample Street 1 xxx"),
    ],
)  # fmt: skip
def test_order_with_a_finding_is_not_taken(shop: Shop, folder: Path, old: str, new: str, says: str) -> None:
    """An unknown part, zero or absurd pieces, an unknown country: that order stays out whole, the other comes in."""
    result = _changed(shop, folder, old, new)

    assert says in "\n".join(str(finding) for finding in result.findings)
    assert (result.new, result.unchanged, result.conflicts) == (("A-2",), (), ())
    assert [order.number for order in _orders(shop)[0]] == ["A-2"]


def test_unknown_service(shop: Shop, folder: Path) -> None:
    """An order with a service that the shop hasn't got names those that it has."""
    result = _changed(shop, folder, ",van,", ",zeppelin,")

    assert [str(finding) for finding in result.findings] == [
        "orders.csv, line 5, service 'zeppelin': is no service of the shop. Do: use one of post, van."
    ]
    assert result.new == ("A-1",)


def test_order_for_a_retired_part(shop: Shop, folder: Path) -> None:
    """A retired part isn't sold any more."""
    with shop.writing() as books:
        books.replace([books.need(Part, "00123").model_copy(update={"is_retired": True})])
    result = _import(shop, folder / "orders.csv")

    assert [str(finding) for finding in result.findings] == [
        "orders.csv, line 5, part '00123': is retired. Do: offer the customer another part."
    ]
    assert result.new == ("A-1",)


def test_corrected_file_brings_the_rest(shop: Shop, folder: Path) -> None:
    """After the finding was corrected in the file, the order that stayed out comes in, the others are unchanged."""
    _changed(shop, folder, ",van,", ",zeppelin,")
    result = _changed(shop, folder, ",zeppelin,", ",van,")

    assert result == taken(("A-2",), ("A-1",))


def test_broken_file_takes_nothing(shop: Shop, folder: Path) -> None:
    """A file whose shape is broken takes no order."""
    result = _changed(shop, folder, "00123,2,", "00123,2,,")

    assert len(result.findings) == 1
    assert result.new == ()
    assert _orders(shop)[0] == []


def test_locked_shop_takes_nothing(shop: Shop, folder: Path) -> None:
    """While another station holds the shop for too long, no order is taken."""
    with shop.writing(), pytest.raises(StoreRefused, match="another station is writing"):
        _import(shop, folder / "orders.csv")
    assert _orders(shop)[0] == []


def test_keyed_order(shop: Shop) -> None:
    """An order from the phone is taken as it was keyed, once."""
    assert add_order(shop, KEYED, [LINE], at=NOW, person="bob") == []
    orders, lines, journal = _orders(shop)
    assert (orders, lines) == ([KEYED], [LINE])

    elsewhere = KEYED.model_copy(update={"received_at": NOW.astimezone(timezone(timedelta(hours=9)))})
    assert add_order(shop, elsewhere, [LINE], at=NOW, person="bob") == []
    assert _orders(shop) == (orders, lines, journal)


def test_keyed_order_under_a_known_number(shop: Shop) -> None:
    """Another order under a number that is taken is shown and not applied."""
    add_order(shop, KEYED, [LINE], at=NOW, person="bob")
    before = _orders(shop)
    (finding,) = add_order(shop, KEYED, [LINE.model_copy(update={"pieces": 11})], at=NOW, person="bob")

    assert str(finding) == (
        "order T-1, order 'T-1': was received before with other content: line 1 pieces '10' is now '11'. "
        "Do: ask the customer, then change the order in the shop."
    )
    assert _orders(shop) == before


@pytest.mark.parametrize(
    ("order", "lines", "says"),
    [
        (KEYED, [], "has no line"),
        (KEYED, [LINE, LINE], "comes twice in the order"),
        (KEYED, [LINE.model_copy(update={"part_number": "BALL-9"})], "is no part of the shop"),
        (KEYED.model_copy(update={"service_code": "zeppelin"}), [LINE], "is no service of the shop"),
        (KEYED.model_copy(update={"country": "XQ"}), [LINE],
         "expected an assigned alpha-2 code such as 'DE'"),
        (KEYED.model_copy(update={"currency": "XAU"}), [LINE],
         "expected three capitals of a current currency such as 'EUR'"),
    ],
)  # fmt: skip
def test_keyed_order_with_a_finding_is_not_taken(shop: Shop, order: Order, lines: list[OrderLine], says: str) -> None:
    """What the shop can't do is said at once, and the order isn't taken."""
    assert [finding.says for finding in add_order(shop, order, lines, at=NOW, person="bob")] == [says]
    assert _orders(shop)[0] == []


def test_all_findings_of_a_keyed_order_at_once(shop: Shop) -> None:
    """Several faults come together."""
    order = KEYED.model_copy(update={"service_code": "zeppelin", "country": "XQ"})
    bad = LINE.model_copy(update={"part_number": "BALL-9"})

    assert [finding.field for finding in add_order(shop, order, [bad], at=NOW, person="bob")] == [
        "service", "country", "part",
    ]  # fmt: skip
