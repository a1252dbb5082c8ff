"""A small invented shop in a harbour town, far from UTC: parts for barrel organs and striking clocks.

It is no copy of the demo: aisles with names, one of them a dead end, three cross aisles, a bench in the middle of the
room; ten parts in fifteen bins, several of them in two; one part is made, one is a kit, one is restricted in transport;
names with macrons and accents. Everything comes in through the shop's own files and steps.
"""

import shutil
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from zoneinfo import ZoneInfo

from fulfil.bench.check import BagCheck, Seen, check_bag
from fulfil.despatch.pack import plan_packages, weigh_package
from fulfil.despatch.ship import ClosedManifest, close_manifest
from fulfil.orders.importing import add_order
from fulfil.orders.kits import set_kit
from fulfil.records.despatch.dispatch import Package
from fulfil.records.order import Order, OrderLine
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, CountMethod, WalkRecord
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.levels import count_bin
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import DayPlan, plan_day
from fulfil.walks.releasing import release_walks
from tests.who import Who

ZONE = ZoneInfo("Pacific/Chatham")
"""UTC+12:45 in the southern winter: the shop's day begins when it is yesterday noon in UTC."""
DAY = date(2026, 7, 14)
NOW = datetime.combine(DAY, time(8, 30), ZONE)
WHO = Who(at=NOW, person="ngaio")

FOLDER = Path(__file__).parent / "harbour_catalogue"
FILES = {path.name: path.read_text(encoding="utf-8") for path in sorted(FOLDER.glob("*.csv"))}
KIT = {"SPRING-2": 2, "FELT-9": 3}
"""What one KIT-D is made of."""
PEOPLE = (
    ("Ngaio Ōrākei-Sample", "Te Whānau-Sample", "8016", "NZ"),
    ("Žofie Vzorková", "Waitangi-Sample", "8016", "NZ"),
    ("Þórður Dæmi Ævarsson", "Kaingaroa-Sample", "8016", "NZ"),
    ("Éloïse Modèle-Œuvrard", "Ville-Modèle", "1000", "BE"),
)
"""Invented customers, the last one abroad."""


def write_catalogue(folder: Path, changed: Mapping[str, str] = {}) -> Path:
    """Writes the shop's catalogue files; ``changed`` gives other contents for some of them."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in (FILES | dict(changed)).items():
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def levels() -> dict[str, int]:
    """The pieces of each bin on the first morning."""
    rows = [line.split(",") for line in FILES["bins.csv"].splitlines()[1:]]
    return {row[0]: int(row[-1]) for row in rows}


def make_harbour(path: Path) -> Shop:
    """Makes the shop anew from its files, counts every bin, and makes the kit; it is left open."""
    shop = open_shop(path, create=True, wait_s=5)
    done = import_catalogue(shop, write_catalogue(path.parent / f"{path.stem}-catalogue"), **WHO)
    assert done.findings == ()
    for code, pieces in levels().items():
        count_bin(shop, code, pieces, **WHO)
    set_kit(shop, "KIT-D", [*KIT.items()], **WHO)
    return shop


@cache
def _template() -> Path:
    path = Path(mkdtemp()) / "template.db"
    make_harbour(path).close()
    return path


def open_harbour(folder: Path) -> Shop:
    """The shop on its first morning, as a copy of one file; it is left open."""
    shutil.copy(_template(), folder / "harbour.db")
    return open_shop(folder / "harbour.db", wait_s=5)


def order_of(number: str, asked: Sequence[tuple[str, int]], **given: object) -> tuple[Order, list[OrderLine]]:
    """An order of one of the shop's customers, with its lines 1, 2, 3 …; ``given`` are fields that differ."""
    name, city, post_code, country = PEOPLE[sum(map(ord, number)) % 3]
    fields = {"source": "post", "received_at": NOW, "name": name, "street": "1 Sample Quay", "city": city,
              "post_code": post_code, "country": country, "service_code": "ROAD", "currency": "NZD"}  # fmt: skip
    order = Order.model_validate(fields | given | {"number": number})
    lines = [
        OrderLine(order_number=number, line_no=place, part_number=part, pieces=pieces, unit_price_minor=120)
        for place, (part, pieces) in enumerate(asked, start=1)
    ]
    return order, lines


def key(shop: Shop, number: str, *asked: tuple[str, int], minutes: int = 0, **given: object) -> None:
    """Takes an order that came ``minutes`` after the first."""
    at = NOW + timedelta(minutes=minutes)
    order, lines = order_of(number, asked, **{"received_at": at, **given})
    assert add_order(shop, order, lines, at=at, person="ngaio") == []


def plan(shop: Shop, *, day: date = DAY, at: datetime = NOW) -> DayPlan:
    """Plans all that waits, with as little search as can be."""
    return plan_day(shop, day=day, at=at, person="ngaio", effort="none")[0]


def release(shop: Shop, folder: Path, *walks: str, at: datetime = NOW) -> list[WalkRecord]:
    """Releases walks, or all, with their papers; the walks that are on paper now."""
    release_walks(shop, walks, folder / "papers", at=at, person="ngaio")
    with shop.reading() as books:
        return [walk for walk in books.find(WalkRecord) if walk.released_at is not None]


def bags(shop: Shop, **equals: object) -> list[Bag]:
    """Bags by any of their fields."""
    with shop.reading() as books:
        return books.find(Bag, **equals)


def right(bag: Bag) -> Seen:
    """What the checker finds in a bag that is right: its target; of one counted by hand the count, and a weight."""
    if bag.method is CountMethod.WEIGH:
        return Seen(gross_g=bag.target_g, scale_code=bag.scale_code)
    return Seen(counted=bag.pieces, gross_g=Decimal("19.50"), scale_code="KOTARE")


def check(shop: Shop, number: str, *, at: datetime = NOW) -> list[BagCheck]:
    """Every bag of an order that is on paper and waits for its check passes it."""
    with shop.reading() as books:
        on_paper = {walk.number for walk in books.find(WalkRecord) if walk.released_at is not None}
    here = [bag for bag in bags(shop, order_number=number) if bag.walk_number in on_paper]
    waiting = [bag for bag in here if bag.state not in (BagState.PASSED, BagState.PACKED)]
    return [check_bag(shop, bag.code, right(bag), at=at, person="piripi") for bag in waiting]


def pack(shop: Shop, number: str, *, at: datetime = NOW) -> list[Package]:
    """Boxes, weighs and seals what an order has at the bench."""
    packages = plan_packages(shop, number, at=at, person="huia").packages
    waiting = [one for one in packages if one.state.value != "sealed"]
    return [weigh_package(shop, one.number, one.expected_g, at=at, person="huia").package for one in waiting]


def ship(shop: Shop, service: str = "ROAD", *, day: date = DAY, at: datetime = NOW) -> ClosedManifest:
    """Closes the manifest of a service over all that is sealed."""
    return close_manifest(shop, service, day=day, at=at, person="huia")


def send(shop: Shop, number: str, service: str = "ROAD", *, day: date = DAY, at: datetime = NOW) -> ClosedManifest:
    """Checks, packs and ships an order whose bags are on paper."""
    check(shop, number, at=at)
    assert all(package.state.value == "sealed" for package in pack(shop, number, at=at))
    return ship(shop, service, day=day, at=at)


def level(shop: Shop, code: str) -> int:
    """The pieces of a bin by the books."""
    with shop.reading() as books:
        return books.need(Bin, code).pieces


def lines_of(shop: Shop, number: str) -> list[OrderLine]:
    """An order's lines."""
    with shop.reading() as books:
        return books.find(OrderLine, order_number=number)


def state_of(shop: Shop, number: str) -> str:
    """Where an order stands."""
    with shop.reading() as books:
        return books.need(Order, number).state.value


def open_one_sent(folder: Path) -> Shop:
    """The harbour shop with one order sent and one waiting, as a copy of one file."""
    shutil.copy(_one_sent(), folder / "harbour.db")
    return open_shop(folder / "harbour.db", wait_s=5)


@cache
def _one_sent() -> Path:
    folder = Path(mkdtemp())
    with open_harbour(folder) as opened:
        key(opened, "H-1", ("REED-A", 25), ("CAM-7", 2), note_packer="for my son Tama", phone="03 305 0000")
        key(opened, "H-2", ("REED-A", 7), minutes=5)
        plan(opened)
        release(opened, folder)
        check(opened, "H-1")
        pack(opened, "H-1")
        send(opened, "H-1")
    return folder / "harbour.db"
