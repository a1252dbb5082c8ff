"""What works already and what is missing, on shops that grow file by file; nothing here is the demo's."""

from datetime import time
from decimal import Decimal
from pathlib import Path

from fulfil.despatch.first_day import DayStep, first_day
from fulfil.records.despatch.service import Service, ServiceKind
from fulfil.records.part import Part, Supply
from fulfil.records.settings import Settings
from fulfil.records.tiny import BAG, BOX
from fulfil.store.shop import open_shop
from tests.harbour_shop import open_harbour

ORDER = ["the shop's address", "services", "orders in", "plan and pick", "count and check by weight", "pack and weigh",
         "packages abroad", "hand over and close"]  # fmt: skip


def states(path: Path) -> dict[str, DayStep]:
    """The steps of a shop, by name, in their order."""
    with open_shop(path) as shop, shop.reading() as books:
        return {step.name: step for step in first_day(books)}


def test_an_empty_shop_waits_for_everything_but_says_what_to_do(tmp_path: Path) -> None:
    """Each step says what is missing for it and which command or file brings it."""
    path = tmp_path / "shop.db"
    open_shop(path, create=True).close()
    steps = states(path)
    assert [*steps] == ORDER
    waits = [name for name, step in steps.items() if step.state == "waits"]
    assert waits == [name for name in ORDER if name not in ("count and check by weight", "packages abroad")]
    assert str(steps["services"].lacks[0]) == "there is no service. Do: fulfil services add, or services.csv."


def test_a_step_works_when_its_things_are_there(tmp_path: Path) -> None:
    """Address, service and part: three steps less; a part without a bin goes short and is named."""
    path = tmp_path / "shop.db"
    with open_shop(path, create=True) as shop, shop.writing() as books:
        books.add([
            Settings(shop_name="Kites (invented)", street="Rua 1", city="Lisboa", country="PT"),
            Service(code="X", name="X", kind=ServiceKind.PARCEL, cut_off=time(16), max_weight_g=Decimal(1000)),
            Part(number="VARA", description="Vara", family="vara", bulk_volume_mm3=10.0, longest_mm=800,
                 supply=Supply.BUY, price_minor=420, currency="EUR"),
        ])  # fmt: skip
    steps = states(path)
    assert [step.state for step in steps.values()][:3] == ["works", "works", "works in part"]
    assert "no bin holds VARA; orders of them go short" in str(steps["plan and pick"].lacks[1])


def test_what_no_bag_and_no_box_takes_is_named_before_an_order_wants_it(tmp_path: Path) -> None:
    """A stick of 800 mm in a shop with bags of 100 × 150 mm and boxes of 300 mm: said on the first evening."""
    path = tmp_path / "shop.db"
    with open_shop(path, create=True) as shop, shop.writing() as books:
        books.add([
            Part(number="VARA", description="Vara", family="vara", bulk_volume_mm3=10.0, longest_mm=800,
                 supply=Supply.BUY, price_minor=420, currency="EUR"),
            BAG.model_copy(update={"width_mm": 100, "height_mm": 150}), BOX.model_copy(update={"length_mm": 300}),
        ])  # fmt: skip
    steps = states(path)
    said = [str(lack) for name in ("plan and pick", "pack and weigh") for lack in steps[name].lacks]
    assert "no bag takes VARA; orders of them are not planned. Do: a larger bag in bags.csv." in said
    assert "no box takes VARA; orders of them can't be packed. Do: a box for them in boxes.csv." in said


def test_a_running_shop_works_and_its_gaps_are_named(tmp_path: Path) -> None:
    """The harbour shop runs: nothing waits; what was never sampled is counted by hand, and said."""
    with open_harbour(tmp_path) as shop:
        path = Path(shop.where)
    steps = states(path)
    assert {step.state for step in steps.values()} <= {"works", "works in part"}
    assert steps["plan and pick"].state == "works in part"
    assert all(lack.without for step in steps.values() for lack in step.lacks)
