"""The same order keyed twice, and another one under its number; on the harbour shop."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fulfil.orders.importing import add_order
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.happening import Happening
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, lines_of, open_harbour, order_of


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop with one order of nine springs."""
    with open_harbour(tmp_path) as opened:
        assert add_order(opened, *order_of("A-1", [("SPRING-2", 9)]), **WHO) == []
        yield opened


def received(shop: Shop) -> int:
    """How many orders the journal says came in."""
    with shop.reading() as books:
        return books.count(JournalEntry, event=Happening.ORDER_RECEIVED)


def test_the_same_again_changes_nothing(shop: Shop) -> None:
    """The telephone rang while it was keyed."""
    assert add_order(shop, *order_of("A-1", [("SPRING-2", 9)]), **WHO) == []
    assert received(shop) == 1


@pytest.mark.parametrize(
    ("asked", "given"),
    [
        ([("SPRING-2", 8)], {}),
        ([("SPRING-2", 9), ("FELT-9", 1)], {}),
        ([("SPRING-2", 9)], {"street": "2 Sample Quay"}),
    ],
)
def test_another_one_under_its_number_is_a_finding_and_the_first_stays(
    shop: Shop, asked: list[tuple[str, int]], given: dict[str, str]
) -> None:
    """Other pieces, one line more, another street: nothing is overwritten."""
    findings = add_order(shop, *order_of("A-1", asked, **given), **WHO)
    assert len(findings) == 1
    assert findings[0].value == "A-1"
    assert [(line.part_number, line.pieces) for line in lines_of(shop, "A-1")] == [("SPRING-2", 9)]
    assert received(shop) == 1
    assert verify_shop(shop) == ()


def test_an_order_without_lines_or_with_unknown_parts_is_not_taken(shop: Shop) -> None:
    """All its faults are said at once."""
    (finding,) = add_order(shop, *order_of("A-2", []), **WHO)
    assert "has no line" in finding.says
    findings = add_order(shop, *order_of("A-3", [("NO-1", 2), ("NO-2", 2)]), **WHO)
    assert {one.value for one in findings} == {"NO-1", "NO-2"}
    assert received(shop) == 1
