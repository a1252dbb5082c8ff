"""Corners of benches and plans: dear bags, late packages, other orders' bags, kits of even numbers."""

from datetime import timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from fulfil.bench.facts import FactsOfCheck, KeptIndex
from fulfil.bench.pack_station import PackBench
from fulfil.checking.second_look import LookRules
from fulfil.counting.sample_estimate import Sample
from fulfil.counting.samples import take_sample
from fulfil.despatch.advice import of_json
from fulfil.despatch.claims import take_back
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.ship import void_package
from fulfil.orders.kits import set_kit
from fulfil.records.despatch.dispatch import Manifest, Package
from fulfil.records.despatch.goods_back import Outcome
from fulfil.records.despatch.handover import ManifestCopy
from fulfil.records.equipment import BoxType
from fulfil.records.part import Part, UnitWeight
from fulfil.records.revised import revised
from fulfil.stock.levels import count_bin
from fulfil.store.books import Books
from fulfil.store.shop import Shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.papers import bound_statement
from tests.chronicle.telling import Chronicle
from tests.harbour_shop import NOW, WHO, bags, check, key, pack, plan, release, send, ship
from tests.who import Who


def later(minutes: int) -> Who:
    """Some time after the first step."""
    return Who(at=NOW + timedelta(minutes=minutes), person="ngaio")


def on_paper(shop: Shop, folder: Path) -> None:
    """All that waits is planned and released."""
    plan(shop)
    release(shop, folder)


@pytest.mark.parametrize(("price_minor", "is_dear"), [(0, False), (2499, False), (2500, True), (2501, True)])
def test_a_dear_bag_is_looked_at_twice(shop: Shop, tmp_path: Path, price_minor: int, is_dear: bool) -> None:
    """Four discs for 100.00 or more together; by the part's price, not the order's."""
    key(shop, "D-1", ("DISC-21", 4))
    on_paper(shop, tmp_path)
    (bag,) = bags(shop, order_number="D-1")
    with shop.writing() as books:
        books.replace([revised(books.need(Part, "DISC-21"), {"price_minor": price_minor})])
        facts = FactsOfCheck(KeptIndex()).of_bag(books, bag)
        never = FactsOfCheck(KeptIndex(), LookRules(high_value_minor=0)).of_bag(books, bag)
    assert ("high value" in facts.second_look) is is_dear
    assert "high value" not in never.second_look


def test_look_alikes_are_found_once_in_a_session(shop: Shop) -> None:
    """The index is dear: made for the first scan, or before it, and kept."""
    made = []

    def make(books: Books) -> Any:
        made.append(1)
        return look_alike_index(books)

    index = KeptIndex(make)
    index.warm(shop)
    assert len(made) == 1
    with shop.reading() as books:
        assert index(books) is index(books)
    assert len(made) == 1


def test_packed_too_late_for_today(shop: Shop, tmp_path: Path) -> None:
    """Before the lorry, after it, on a Friday evening: when it leaves, and not today."""
    told = Chronicle(shop, "bench/too-late")
    for place in range(3):
        key(shop, f"L-{place}", ("CAM-7", 2 + place), minutes=place)
    on_paper(shop, tmp_path)
    for place, hours in enumerate((0, 9, 24 * 3 + 9)):
        check(shop, f"L-{place}")
        bench = PackBench(shop, "pack-1", person="huia")
        at = NOW + timedelta(hours=hours)
        told.tell(f"open {place}", bench.open())
        for line in (f"L-{place}", *(bag.code for bag in bags(shop, order_number=f"L-{place}"))):
            told.tell(line, bench.enter(line, at=at))
        assert bench.state.package is not None, told.lines[-9:]
        told.tell("weighed", bench.enter(f"{bench.state.package.expected_g:f}", at=at))
    told.is_as_recorded()


def test_what_a_wrong_package_may_hold(shop: Shop, tmp_path: Path) -> None:
    """Bags of other orders of the walk are thought of, its own are not; the next box, its own bag left out."""
    told = Chronicle(shop, "bench/wrong-packages")
    key(shop, "W-1", ("CAM-7", 2), ("REED-A", 9))
    key(shop, "W-2", ("DISC-21", 1), minutes=1)
    key(shop, "W-3", ("BELL-3", 3), minutes=2)
    on_paper(shop, tmp_path)
    for number in ("W-1", "W-2", "W-3"):
        check(shop, number)
    (package,) = plan_packages(shop, "W-1", **WHO).packages
    own = {bag.part_number: bag.gross_g or Decimal(0) for bag in bags(shop)}
    for name, off_g in (
        ("its own bag twice", own["CAM-7"]),
        ("its own bag left out", -own["CAM-7"]),
        ("a disc too many", own["DISC-21"]),
        ("the bells of another", own["BELL-3"]),
        ("a disc for the cams", own["DISC-21"] - own["CAM-7"]),
        ("something", Decimal("333.5")),
    ):
        gross_g = (package.expected_g + off_g).quantize(Decimal("0.5"))
        gross_g = (gross_g * 2).to_integral_value() / 2
        told.tell(f"{name}, {off_g:+f} g", weigh_package(shop, package.number, gross_g, **later(1)))
    told.is_as_recorded()


def test_what_comes_back_by_weight(shop: Shop, tmp_path: Path) -> None:
    """A weight that can't tell needs a count; a count stands beside any weight; a weight that tells needs none."""
    told = Chronicle(shop, "despatch/back-by-weight")
    key(shop, "B-1", ("PIN-08", 60), ("REED-A", 12))
    on_paper(shop, tmp_path)
    send(shop, "B-1")
    back = next(iter(Outcome))
    with shop.writing() as books:
        books.replace([revised(books.need(UnitWeight, "PIN-08", ""), {"u_g": 0.001})])

    def comes(line_no: int, minutes: int, **seen: Any) -> Any:
        return take_back(shop, "B-1", line_no, back, "too many", **later(minutes), **seen)

    told.refused("can't tell", lambda: comes(1, 1, gross_g=Decimal("1.02")))
    told.tell("counted, too", comes(1, 2, gross_g=Decimal("1.02"), counted=39))
    told.tell("tells", comes(2, 3, gross_g=Decimal("4.60")))
    told.tell("tells, and counted otherwise", comes(2, 4, gross_g=Decimal("4.60"), counted=3))
    told.refused(
        "more than is out",
        lambda: comes(2, 5, counted=6),
        lambda: comes(1, 5, counted=22),
        lambda: comes(2, 5, counted=0),
        lambda: comes(2, 5),
    )
    told.tell("the rest", [comes(2, 6, counted=5), comes(1, 6, counted=21)])
    told.is_as_recorded()


def test_which_package_holds_what(shop: Shop, tmp_path: Path) -> None:
    """An order in several boxes, two manifests and one void: each package's advice names what lies in it, once."""
    told = Chronicle(shop, "despatch/several-boxes")
    with shop.writing() as books:
        books.replace([revised(box, {"max_load_g": Decimal(90)}) for box in books.find(BoxType)])
    key(shop, "S-1", ("REED-A", 40), ("SCREW-3", 90), ("CAM-7", 9), ("KIT-D", 20), ("SCREW-3", 60))
    on_paper(shop, tmp_path)
    check(shop, "S-1")
    first, *others = pack(shop, "S-1")
    assert len(others) > 2
    ship(shop)
    void_package(shop, first.number, "left on the ramp", **later(1))
    with shop.reading() as books:
        (new,) = [one for one in books.find(Package, order_number="S-1") if one.state.value == "planned"]
    weigh_package(shop, new.number, new.expected_g, **later(2))
    ship(shop, at=NOW + timedelta(minutes=3))
    with shop.reading() as books:
        for manifest in books.find(Manifest):
            advices = of_json(books.need(ManifestCopy, manifest.number).advices)
            told.each(f"advices of {manifest.number}", [one for advice in advices for one in advice.packages])
            told.each("its lines", [line for advice in advices for line in advice.lines])
    told.is_as_recorded()


@pytest.mark.parametrize(("springs", "felts", "kits"), [(5, 60, 2), (6, 60, 3), (90, 11, 2), (90, 12, 3), (1, 60, 0)])
def test_a_kit_of_even_numbers_goes_out_whole(shop: Shop, springs: int, felts: int, kits: int) -> None:
    """Two springs and four felts a kit, three kits: of what is there whole kits are promised, no half one."""
    set_kit(shop, "KIT-D", [("SPRING-2", 2), ("FELT-9", 4)], **WHO)
    for code, pieces in (("MOANA-1", springs), ("MOANA-4", 0), ("MOANA-2", felts)):
        count_bin(shop, code, pieces, **WHO)
    key(shop, "K-1", ("KIT-D", 3))
    plan(shop)
    planned = {bag.part_number: bag.pieces for bag in bags(shop, order_number="K-1")}
    assert planned == ({"SPRING-2": 2 * kits, "FELT-9": 4 * kits} if kits else {})


def test_what_a_sample_leaves_in_the_journal(shop: Shop) -> None:
    """Figures of many digits are kept to nine places, the doubt to six."""
    told = Chronicle(shop, "counting/many-digits")
    told.tell("of 7", take_sample(shop, "REED-A", Sample(7, Decimal("8.07")), **WHO))
    singles = tuple(map(Decimal, ("14.21", "14.19", "14.23", "14.22", "14.17", "14.20", "14.25")))
    told.tell("of 7 singles", take_sample(shop, "BELL-3", Sample(single_g=singles), **later(1)))
    told.tell(
        "of 13, poured", take_sample(shop, "SCREW-3", Sample(13, Decimal("10.55")), **later(2), is_poured=True, want=40)
    )
    for minutes, tub_g in enumerate(("0", "60.00", "140.00"), start=3):
        heavy = Sample(40, Decimal("32.40") + Decimal(tub_g), Decimal(tub_g))
        found = take_sample(shop, "SCREW-3", heavy, **later(minutes), is_poured=True, want=190)
        told.tell(f"poured into a tub of {tub_g} g", found)
    told.is_as_recorded()


def test_without_a_plan_nothing_is_said_of_the_best() -> None:
    """A walk that no plan of the day made has no bound."""
    assert bound_statement([]) == ""
