"""One service or scale is added, changed and retired by itself, by the rules of the catalogue's files."""

from collections.abc import Callable, Iterator, Mapping
from datetime import UTC, datetime, time
from decimal import Decimal
from pathlib import Path

import pytest

from fulfil.counting.scale_checks import usable_scale, usable_scales
from fulfil.errors import StateRefused, UnknownRefused, WeighingRefused
from fulfil.files.equipment import SCALES, SERVICES
from fulfil.orders.changing import change_service
from fulfil.orders.importing import add_order
from fulfil.orders.verify import verify_shop
from fulfil.records.despatch.dispatch import JournalEntry
from fulfil.records.despatch.service import Service
from fulfil.records.equipment import ScaleRecord
from fulfil.records.order import Order, OrderLine
from fulfil.shop.journal_words import in_words
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.catalogue_out import export_catalogue
from fulfil.stock.equipment_changes import (
    EquipmentChanged,
    add_scale,
    add_service,
    change_scale,
    change_service_terms,
    retire_scale,
    retire_service,
)
from fulfil.store.shop import Shop, open_shop
from tests.odd_shop import odd_catalogue
from tests.who import Who

NOW = datetime(2026, 3, 2, 0, tzinfo=UTC)
WHO = Who(at=NOW, person="aki")
NIGHT = {"name": "Night round (invented)", "kind": "parcel", "countries": "JP", "cut_off": "19:30", "max_weight_g": "0"}
PLATE = {"accuracy_class": "II", "e_g": "0,1", "d_g": "0,01", "max_g": "1200", "min_g": "0,5"}


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The odd shop."""
    with open_shop(tmp_path / "odd.sqlite", create=True) as opened:
        assert import_catalogue(opened, odd_catalogue(tmp_path / "catalogue"), **WHO).findings == ()
        yield opened
        assert verify_shop(opened) == ()


def _order(shop: Shop, number: str, service: str) -> list[str]:
    keyed = Order(number=number, source="phone", received_at=NOW, name="Invented Person", street="Street 1",
                  city="Town", country="JP", service_code=service, currency="JPY")  # fmt: skip
    line = OrderLine(order_number=number, line_no=1, part_number="=M4", pieces=3, unit_price_minor=12)
    return [str(one) for one in add_order(shop, keyed, [line], **WHO)]


def _said(shop: Shop) -> list[str]:
    with shop.reading() as books:
        return [in_words(one) for one in books.find(JournalEntry)][1:]


def test_added_as_a_file_would_add_it_and_goes_round(shop: Shop, tmp_path: Path) -> None:
    """With decimal commas; what goes out and comes in again changes nothing, here and in an empty shop."""
    assert add_service(shop, "night", NIGHT, **WHO).findings == ()
    assert add_scale(shop, "H", PLATE, **WHO).findings == ()
    retire_scale(shop, "G", **WHO)
    retire_service(shop, "slow", **WHO)

    with shop.reading() as books:
        assert books.need(Service, "night").cut_off == time(19, 30)
        assert books.need(ScaleRecord, "H").d_g == Decimal("0.01")
        before = books.find(Service), books.find(ScaleRecord)
    export_catalogue(shop, tmp_path / "out")
    again = import_catalogue(shop, tmp_path / "out", **WHO)
    assert (again.findings, again.changed) == ((), False)
    with open_shop(tmp_path / "empty.sqlite", create=True) as empty:
        assert import_catalogue(empty, tmp_path / "out", **WHO).findings == ()
        with empty.reading() as books:
            assert (books.find(Service), books.find(ScaleRecord)) == before
    assert _said(shop)[0].startswith("added service night: countries JP, cut_off 19:30, ")
    assert _said(shop)[2:] == ["changed scale G: retired empty → yes", "changed service slow: retired empty → yes"]


@pytest.mark.parametrize(
    ("add", "change", "code", "cells", "wrong", "says"),
    [
        (add_service, change_service_terms, "night", NIGHT, {"kind": "boat"}, "kind 'boat': must be 'parcel' or"),
        (add_service, change_service_terms, "night", NIGHT, {"countries": "XX"}, "countries 'XX': expected"),
        (add_service, change_service_terms, "night", NIGHT, {"cut_off": "late"}, "cut_off 'late':"),
        (
            add_service,
            change_service_terms,
            "night",
            NIGHT,
            {"name": "ሌሊት"},
            "name 'ሌሊት': can't be printed. Do: write",
        ),
        (add_service, change_service_terms, "night", NIGHT, {"max_weight_g": "31,500"}, "may be 31500 or 31.5. Do"),
        (add_scale, change_scale, "H", PLATE, {"accuracy_class": "5"}, "accuracy_class must be I, II, III or IIII"),
        (add_scale, change_scale, "H", PLATE, {"d_g": "1"}, "d_g must be <= e_g"),
        (add_scale, change_scale, "H", PLATE, {"max_g": ""}, "max_g '': must not be empty. Do: copy it from the"),
        (add_scale, change_scale, "H", PLATE, {"max": "5"}, "is no column of the file. Do: use one of accuracy_class"),
    ],
)
def test_what_a_file_would_not_say_is_found(
    shop: Shop,
    add: Callable[..., EquipmentChanged[Service]],
    change: Callable[..., EquipmentChanged[Service]],
    code: str,
    cells: Mapping[str, str],
    wrong: Mapping[str, str],
    says: str,
) -> None:
    """Adding and changing find what the reader of the file finds, and write nothing."""
    done = add(shop, code, {**cells, **wrong}, **WHO)
    assert any(says in str(one) for one in done.findings), [str(one) for one in done.findings]
    assert done.record is None
    assert _said(shop) == []
    assert add(shop, code, cells, **WHO).findings == ()
    assert any(says in str(one) for one in change(shop, code, wrong, **WHO).findings)
    assert len(_said(shop)) == 1
    (twice,) = add(shop, code.swapcase(), cells, **WHO).findings
    assert "is there already" in twice.says or "of the shop already" in twice.says


def test_a_service_with_open_orders_stays_whoever_asks(shop: Shop, tmp_path: Path) -> None:
    """The verb refuses, the file gets a finding, both say how to go on; then both retire it."""
    assert _order(shop, "T-1", "slow") == []
    for verb in (
        lambda: retire_service(shop, "slow", **WHO),
        lambda: change_service_terms(shop, "slow", {"retired": "yes"}, **WHO),
    ):
        with pytest.raises(StateRefused) as refused:
            verb()
        assert str(refused.value) == (
            "Cannot retire the service 'slow': expected a service by which no open order goes; T-1 goes by it, "
            "send them by another first: fulfil orders send-by ORDER SERVICE."
        )
    folder = tmp_path / "catalogue"
    text = (folder / "services.csv").read_text(encoding="utf-8")
    (folder / "services.csv").write_text(text.replace(text.splitlines()[1] + "\n", ""), encoding="utf-8")
    (found,) = import_catalogue(shop, folder, **WHO).findings
    assert str(found) == (
        "services.csv, service 'slow': open orders go by it (T-1), so it must stay. "
        "Do: send them by another first: fulfil orders send-by ORDER SERVICE."
    )
    change_service(shop, "T-1", "fast", **WHO)
    done = import_catalogue(shop, folder, **WHO)
    assert done.findings == ()
    assert "services that left the folder are retired: slow" in done.notes
    with pytest.raises(StateRefused, match="one that isn't retired already"):
        retire_service(shop, "slow", **WHO)


def test_nothing_new_goes_by_a_retired_service_and_it_comes_back(shop: Shop) -> None:
    """A new order by it is found, a change to it refused; an order that came in with it before stays as it is."""
    retire_service(shop, "slow", **WHO)
    (found,) = _order(shop, "T-2", "slow")
    assert found.endswith("service 'slow': is retired. Do: use one of fast.")
    assert _order(shop, "T-3", "fast") == []
    with pytest.raises(UnknownRefused, match="expected one of fast"):
        change_service(shop, "T-3", "slow", **WHO)
    (again,) = add_service(shop, "slow", NIGHT, **WHO).findings
    assert (again.says, again.do) == (
        "is a service of the shop already, retired", "fulfil services change slow --retired no",
    )  # fmt: skip
    assert change_service_terms(shop, "slow", {"retired": "no"}, **WHO).differences == (("retired", ("yes", "")),)
    change_service(shop, "T-3", "slow", **WHO)


def test_a_retired_scale_weighs_nothing_more(shop: Shop) -> None:
    """It is refused by name and chosen no more; with ``retired`` *no* it is back."""
    retire_scale(shop, "F", **WHO)
    with shop.reading() as books:
        assert [one.code for one in usable_scales(books)] == ["G"]
        with pytest.raises(WeighingRefused, match=r"expected a scale in use \(G\); this one is retired"):
            usable_scale(books, "F")
    change_scale(shop, "F", {"retired": "no"}, **WHO)
    with shop.reading() as books:
        assert usable_scale(books, "F").code == "F"


def test_every_column_can_be_typed() -> None:
    """The options of the commands are the columns of the files."""
    from fulfil_cli.despatch.service_changing import CELLS as OF_SERVICES
    from fulfil_cli.scales.scale_changing import CELLS as OF_SCALES

    assert [*OF_SERVICES] == [column.name for column in SERVICES][1:]
    assert [*OF_SCALES] == [column.name for column in SCALES][1:]
