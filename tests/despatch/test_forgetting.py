"""Customers that are forgotten: the record of what was sent still holds, on both stores."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest

from fulfil.despatch.abroad.papers_due import lacks_of
from fulfil.despatch.advice import of_json
from fulfil.despatch.desk.forgotten_papers import FORGOTTEN
from fulfil.despatch.manifest_paper import printed_manifest
from fulfil.despatch.reconcile import reconcile_day
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry, Manifest, Package
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.draft import Draft
from fulfil.records.order import Order
from fulfil.records.pieces import OwedMove
from fulfil.records.sealed import Erasure
from fulfil.store.shop import Shop
from tests.despatch.forgetting import LATER, forget, shop_of_the_past
from tests.shipping_shop import DAY, NOW


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The shop of the past."""
    with shop_of_the_past(tmp_path / "shop.db") as opened:
        yield opened


def test_what_was_sent_still_adds_up_and_prints(shop: Shop) -> None:
    """The chain, the books, the manifest's paper, its advices and the day's reconciliation."""
    with shop.reading() as books:
        before = [one.code for one in reconcile_day(shop, day=DAY).differences]
        seal = books.head()[1]

    forget(shop)

    assert verify_shop(shop, seal) == ()
    assert [one.code for one in reconcile_day(shop, day=DAY).differences] == before
    with shop.reading() as books:
        for manifest in books.find(Manifest):
            (sheet,) = printed_manifest(books, manifest.number).sheets
            assert {row.consignee for row in sheet.rows} == {FORGOTTEN}  # type: ignore[attr-defined]
            advices = of_json(books.need(ManifestCopy, manifest.number).advices)
            assert {one.consignee.name for one in advices} == {FORGOTTEN}
        assert lacks_of(books, books.find(Package), day=DAY) == []
        assert {move.reason for move in books.find(OwedMove, order_number="A-5")} >= {FORGOTTEN}
        held = [one for one in books.find(JournalEntry, subject="A-1") if one.event == "order held"]
        assert FORGOTTEN in held[0].particulars
        assert {one.table_name for one in books.find(Erasure)} >= {"journal_entry", "manifest_copy", "papers_printed"}


def test_again_nothing_changes(shop: Shop) -> None:
    """The second time there is nobody left to forget."""
    forget(shop)
    with shop.reading() as books:
        head, erased = books.head(), books.count(Erasure)

    assert forget(shop).orders == ()

    with shop.reading() as books:
        assert (books.head(), books.count(Erasure)) == (head, erased)


def test_others_on_the_same_manifest_keep_their_names(shop: Shop) -> None:
    """Who ordered later stays on the paper that both are on."""
    with shop.writing() as books:
        late = books.need(Order, "A-3")
        books.replace([late.model_copy(update={"received_at": NOW + timedelta(days=400)})])

    done = forget(shop, before=NOW + timedelta(days=300))

    assert "A-3" not in done.orders
    with shop.reading() as books:
        rows = [row for one in books.find(Manifest) for row in printed_manifest(books, one.number).sheets[0].rows]  # type: ignore[attr-defined]
    assert {row.consignee for row in rows if row.order_number == "A-3"} == {"Invented Person 3"}
    assert {row.consignee for row in rows if row.order_number != "A-3"} == {FORGOTTEN}
    assert verify_shop(shop) == ()


def test_orders_left_half_keyed_go_too(shop: Shop) -> None:
    """A draft of before holds a name that nobody waits for; today's stays."""
    with shop.writing() as books:
        for code, at in (("K1", NOW), ("K2", LATER)):
            books.add([Draft(code=code, answers_json='{"name": "Erfundene Person 9"}', at=at, person="dan")])

    forget(shop)

    with shop.reading() as books:
        assert [one.code for one in books.find(Draft)] == ["K2"]
