"""What of a day works already in this shop, and what is missing for which step, in the order of the day.

A step *works* when nothing stands in its way; *works in part* means that it goes on without something, and says what is
done instead (count by hand). Nothing is changed, and nothing that an import would find is found here again.

>>> DayStep("count", "", (Lack("no scale for bags", "every bag is counted by hand", "fulfil shop start"),)).state
'works in part'
"""

from collections.abc import Callable
from dataclasses import dataclass

from fulfil.planning.bagging import holds_piece
from fulfil.planning.boxes.cartons import takes_piece
from fulfil.records.despatch.service import Service
from fulfil.records.despatch.tariff import Price
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import OPEN, Order
from fulfil.records.part import Part, UnitWeight
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.place import Bin, RoomElement
from fulfil.records.settings import Settings
from fulfil.standards import iso3166
from fulfil.stock.part_changes import some
from fulfil.store.books import Books
from fulfil.walks.room_check import check_shop


@dataclass(frozen=True)
class Lack:
    """What is missing, what happens without it (empty: the step can't be done), what to do."""

    says: str
    without: str
    do: str

    def __str__(self) -> str:
        without = f"; {self.without}" if self.without else ""
        return f"{self.says}{without}. Do: {self.do}."


@dataclass(frozen=True)
class DayStep:
    """A step of the day, what is there for it, and what is missing."""

    name: str
    has: str
    lacks: tuple[Lack, ...] = ()

    @property
    def state(self) -> str:
        """``works``, ``works in part`` or ``waits``."""
        if not self.lacks:
            return "works"
        return "works in part" if all(lack.without for lack in self.lacks) else "waits"


def first_day(books: Books) -> tuple[DayStep, ...]:
    """Every step from the address to the manifest."""
    shop = _Shop(books)
    return tuple(step(shop) for step in _STEPS)


class _Shop:
    """What the shop has, read once."""

    def __init__(self, books: Books) -> None:
        self.settings: Settings = books.settings()
        self.services = books.find(Service, is_retired=False)
        self.parts = [part for part in books.find(Part) if not part.is_retired]
        self.weighed = {one.part_number for one in books.find(UnitWeight) if one.may_accept}
        self.bins = books.find(Bin)
        self.room = books.find(RoomElement)
        self.check = check_shop(books) if self.room else None
        self.scales = books.find(ScaleRecord, is_retired=False)
        self.bags = books.find(BagType)
        self.boxes = books.find(BoxType)
        self.prices = books.count(Price)
        self.orders = books.find(Order, state=OPEN)
        self.waiting = len({one.order_number for one in books.find(OwedBalance, place=Owed.WAITING)})


def _address(shop: _Shop) -> DayStep:
    one = shop.settings
    lacks = [name for name in ("street", "city") if not getattr(one, name)]
    lacks += [] if one.country in iso3166.codes() else ["country"]
    lack = Lack(f"the shop's {', '.join(lacks)} is not given", "", "settings.csv, then fulfil catalogue import FOLDER")
    return DayStep(
        "the shop's address", f"{one.shop_name}, {one.city}, clock of {one.time_zone}", (lack,) if lacks else ()
    )


def _services(shop: _Shop) -> DayStep:
    lack = Lack("there is no service", "", "fulfil services add, or services.csv")
    named = ", ".join(f"{one.code} until {one.cut_off:%H:%M}" for one in shop.services)
    return DayStep("services", named, () if shop.services else (lack,))


def _orders(shop: _Shop) -> DayStep:
    lacks = []
    if not shop.parts:
        lacks.append(Lack("there is no part", "", "fulfil shop start, fulfil parts add, or parts.csv"))
    if not shop.services:
        lacks.append(Lack("there is no service to send them by", "", "fulfil services add, or services.csv"))
    if not lacks and not shop.orders:
        do = "fulfil orders map SOURCE FILE, fulfil orders import FILE, or fulfil orders add"
        lacks.append(Lack("no order waits yet", "the day begins with one", do))
    return DayStep("orders in", f"{len(shop.parts)} parts, {len(shop.orders)} orders", tuple(lacks))


def _plan(shop: _Shop) -> DayStep:
    lacks = []
    if shop.check is None:
        lacks.append(Lack("there is no room", "", "fulfil shop start, or room.csv"))
    elif shop.check.findings:
        lacks.append(Lack(f"the room has {len(shop.check.findings)} findings", "", "fulfil room check"))
    binned = {place.part_number for place in shop.bins}
    if without := [part.number for part in shop.parts if part.number not in binned]:
        lacks.append(Lack(f"no bin holds {some(without)}", "orders of them go short", "fulfil bins add"))
    empty = [part.number for part in shop.parts if part.number in binned and not _pieces(shop, part.number)]
    if empty:
        says = f"nothing lies in the bins of {some(empty)}"
        lacks.append(Lack(says, "orders of them go short", "fulfil bins count BIN, or fulfil goods in"))
    if not shop.bags:
        lacks.append(Lack("there is no bag", "", "bags.csv"))
    elif large := [part.number for part in shop.parts if not _is_bagged(shop, part)]:
        lacks.append(Lack(f"no bag takes {some(large)}", "orders of them are not planned", "a larger bag in bags.csv"))
    return DayStep("plan and pick", f"{len(shop.bins)} bins, {shop.waiting} orders to plan", tuple(lacks))


def _is_bagged(shop: _Shop, part: Part) -> bool:
    return any(holds_piece(bag, part.bulk_volume_mm3, part.sides_mm) for bag in shop.bags)


def _pieces(shop: _Shop, part: str) -> int:
    return sum(place.pieces for place in shop.bins if place.part_number == part)


def _count(shop: _Shop) -> DayStep:
    scales = [one.code for one in shop.scales if one.use == "bags"]
    lacks = []
    if not scales:
        lacks.append(Lack("there is no scale for bags", "every bag is counted by hand", "fulfil scales add"))
    unweighed = [part.number for part in shop.parts if part.number not in shop.weighed]
    if unweighed:
        says = f"no sample was weighed of {some(unweighed)}"
        lacks.append(
            Lack(says, "these are counted by hand", f"fulfil parts sample {unweighed[0]} --pieces 50 --gross …")
        )
    has = f"scales {', '.join(scales)}, " if scales else ""
    return DayStep("count and check by weight", f"{has}{len(shop.weighed)} parts sampled", tuple(lacks))


def _pack(shop: _Shop) -> DayStep:
    lacks = []
    if not shop.boxes:
        lacks.append(Lack("there is no box", "", "boxes.csv"))
    if not any(one.use == "packages" for one in shop.scales):
        lacks.append(Lack("there is no scale for packages", "", "fulfil scales add"))
    large = [part.number for part in shop.parts if not any(takes_piece(one, part.sides_mm) for one in shop.boxes)]
    if shop.boxes and large:
        lacks.append(
            Lack(f"no box takes {some(large)}", "orders of them can't be packed", "a box for them in boxes.csv")
        )
    return DayStep(
        "pack and weigh", f"{len(shop.boxes)} kind{'' if len(shop.boxes) == 1 else 's'} of box", tuple(lacks)
    )


def _abroad(shop: _Shop) -> DayStep:
    lacks = []
    fields = ("customs_description", "hs_code", "origin")
    if bare := [part.number for part in shop.parts if not all(getattr(part, field) for field in fields)]:
        says = f"what customs ask for is missing of {some(bare)}"
        do = f"fulfil parts change {bare[0]} --customs-description … --hs-code … --origin …"
        lacks.append(Lack(says, "they go inland only", do))
    if not shop.settings.phone:
        lacks.append(Lack("the shop's telephone is not given", "customs papers lack it", "settings.csv"))
    return DayStep("packages abroad", f"{len(shop.parts) - len(bare)} parts declared", tuple(lacks))


def _manifest(shop: _Shop) -> DayStep:
    lacks = [] if shop.services else [Lack("there is no service", "", "fulfil services add, or services.csv")]
    if shop.services and not shop.prices:
        says = "there are no prices of services"
        lacks.append(Lack(says, "no charge is worked out, bills aren't checked", "zones.csv and prices.csv"))
    return DayStep("hand over and close", ", ".join(one.code for one in shop.services), tuple(lacks))


_STEPS: tuple[Callable[[_Shop], DayStep], ...] = (
    _address, _services, _orders, _plan, _count, _pack, _abroad, _manifest,
)  # fmt: skip
