"""Goods that a service refuses are named when their order comes in, with who takes them; nothing is cleared by it."""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from fulfil.orders.importing import import_orders
from fulfil.orders.refused_goods import refused_of
from fulfil.records.despatch.service import Service
from fulfil.records.part import Part
from fulfil.records.revised import revised
from fulfil.store.shop import Shop
from tests.harbour_shop import WHO, key, open_harbour

HEAD = "order,received_at,source,name,street,city,post_code,country,service,part,pieces,unit_price,currency\n"


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The harbour shop; its post refuses flammable goods, lorry and air say nothing."""
    with open_harbour(tmp_path) as opened:
        yield opened


def marked(shop: Shop, number: str, **fields: object) -> None:
    """A part with other hazards."""
    with shop.writing() as books:
        books.replace([revised(books.need(Part, number), fields)])


def refusing(shop: Shop, **words: str) -> None:
    """What each service refuses."""
    with shop.writing() as books:
        books.replace([revised(books.need(Service, code), {"refuses": said}) for code, said in words.items()])


def told(shop: Shop, *numbers: str) -> list[tuple[str, str]]:
    """What is said of these orders."""
    with shop.reading() as books:
        return [(one.says, one.do) for one in refused_of(books, numbers)]


def test_a_file_names_what_no_service_takes_as_it_comes_in(shop: Shop, tmp_path: Path) -> None:
    """The order is in all the same: the customer has ordered, and a person decides."""
    marked(shop, "CAM-7", hazards="flammable")
    refusing(shop, POST="flammable", ROAD="flammable", AIR="flammable")
    path = tmp_path / "orders.csv"
    row = "X-1,2026-07-14T08:00:00+12:45,web,Invented Person,1 Sample Quay,Sampleton,8016,NZ,ROAD,CAM-7,2,1.20,NZD\n"
    path.write_text(HEAD + row, encoding="utf-8")
    done = import_orders(shop, path, **WHO)
    assert (done.new, done.findings) == (("X-1",), ())
    assert [str(one) for one in done.refused] == [
        "order X-1, part 'CAM-7': no service takes flammable goods to NZ. Do: hold it (fulfil orders hold X-1) and ask "
        "the person trained for dangerous goods."
    ]


def test_services_that_may_take_it_are_named(shop: Shop) -> None:
    """To Belgium only air and post go; the lorry takes it, but not there."""
    marked(shop, "CAM-7", hazards="flammable")
    refusing(shop, POST="flammable", AIR="", ROAD="")
    key(shop, "A-1", ("CAM-7", 2), country="BE", service_code="POST", post_code="1000")
    assert told(shop, "A-1") == [
        ("service POST refuses flammable goods", "ask the customer: AIR may take it after a trained person's review")
    ]


@pytest.mark.parametrize(
    ("packed", "says"),
    [("alone", ["service AIR refuses UN3480 goods"]), ("contained in equipment", [])],
)
def test_a_service_may_tell_lithium_cells_apart(shop: Shop, packed: str, says: list[str]) -> None:
    """UN 3480 stands for ion cells alone, UN 3481 for those with or in equipment (from memory)."""
    marked(shop, "CAM-7", hazards="lithium-battery", lithium=f"ion cell 2.6 Wh, {packed}")
    refusing(shop, AIR="UN3480 UN3090")
    key(shop, "A-1", ("CAM-7", 2), service_code="AIR")
    assert [one for one, _ in told(shop, "A-1")] == says


def test_a_kit_is_judged_by_its_parts(shop: Shop) -> None:
    """What lies in it is refused as by itself."""
    marked(shop, "FELT-9", hazards="flammable")
    refusing(shop, ROAD="flammable")
    key(shop, "A-1", ("KIT-D", 1))
    assert [one for one, _ in told(shop, "A-1")] == ["service ROAD refuses flammable goods"]


def test_goods_that_nobody_refuses_are_not_named(shop: Shop) -> None:
    """They stop for a review when they are packed, as ever."""
    marked(shop, "CAM-7", hazards="flammable sharp")
    key(shop, "A-1", ("CAM-7", 2))
    assert told(shop, "A-1") == []


def test_the_command_says_so_and_leaves_with_one(say: Callable[..., Any], shop: Shop, tmp_path: Path) -> None:
    """As a person would type it."""
    marked(shop, "CAM-7", hazards="flammable")
    refusing(shop, ROAD="flammable")
    path = tmp_path / "orders.csv"
    path.write_text(
        HEAD + "X-1,2026-07-14T08:00:00+12:45,web,Invented,1 Quay,Sampleton,8016,NZ,ROAD,CAM-7,2,1.20,NZD\n",
        encoding="utf-8",
    )
    said = say("orders", "import", str(path), leaves=(1,))
    assert said["new"] == ["X-1"]
    assert len(said["refused"]) == 1
