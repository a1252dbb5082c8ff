"""Asking straight finds what the statement library's own way finds, and its errors are those of other statements."""

from typing import Any

import pytest

from fulfil.errors import StoreRefused
from fulfil.records.order import Order, OrderLine, OrderState
from fulfil.records.part import Part
from fulfil.records.tiny import LINE, ORDER
from fulfil.store.asking import counted_rows, found_rows, straight
from fulfil.store.known import Known
from fulfil.store.search import matches, search
from fulfil.store.shop import Shop


@pytest.mark.parametrize(
    ("kind", "equals", "many"),
    [
        (Part, {}, 1),
        (Order, {"number": [ORDER.number, "none"]}, 1),
        (Order, {"number": []}, 0),
        (Order, {"number": [ORDER.number], "state": OrderState.RECEIVED}, 1),
        (Order, {"state": [OrderState.HELD, OrderState.SHIPPED], "number": ORDER.number}, 0),
        (Order, {"received_at": ORDER.received_at, "ship_complete": ORDER.ship_complete}, 1),
        (OrderLine, {"order_number": [ORDER.number], "line_no": [3, 2, LINE.line_no]}, 1),
        (OrderLine, {"order_number": "o'%s ?", "line_no": 1}, 0),
    ],
)
def test_it_finds_what_the_statement_finds(shop: Shop, kind: Any, equals: dict[str, Any], many: int) -> None:
    """The same rows, the same kinds of values, in the same order; asked twice, since the question is kept."""
    with shop.reading() as books:
        connection = books._connection
        given = {name: value for name, value in equals.items() if value is not None}
        expected = connection.execute(search(kind, matches(equals), connection.dialect.name), given).all()
        for _ in range(2):
            assert [tuple(row) for row in found_rows(connection, kind, equals)] == [tuple(row) for row in expected]
            assert counted_rows(connection, kind, equals) == len(expected)
    assert len(expected) == many


def test_what_is_known_is_given_again_until_it_changes(shop: Shop) -> None:
    """The very records where all rows are the same; new ones where a row, or how many there are, is another."""
    known = Known()

    def parts() -> list[Part]:
        with shop.reading() as books, books.knowing(known):
            assert books.find(Part) is books.find(Part)
            return books.find(Part)

    first, again = parts(), parts()
    with shop.writing() as books:
        books.change(first, {"finish": "dull"})
    changed = parts()
    with shop.writing() as books:
        books.add([first[0].model_copy(update={"number": "BALL-4"})])

    assert again is first
    assert changed == [first[0].model_copy(update={"finish": "dull"})]
    assert [part.number for part in parts()] == ["BALL-3", "BALL-4"]


def test_what_the_driver_refuses_is_an_error_of_the_store(shop: Shop) -> None:
    """So that it is said in the shop's words (``fulfil.store.trouble``)."""
    with pytest.raises(StoreRefused), shop.reading() as books:
        straight(books._connection, "SELECT nothing FROM nowhere")
