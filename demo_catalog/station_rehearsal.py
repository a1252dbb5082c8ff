"""The demo shop for the stations' pages: its walks are released, its people have PINs, its stations wait for a tablet.

Everything is invented, the PINs are printed: such a shop is for trying, and says so on every paper.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from fulfil_demo_catalog.demo_day import CLERK, DAY, PLANNER, morning
from fulfil_demo_catalog.folder import claim, mark_made
from fulfil_demo_catalog.mistakes.rates import MistakeRates
from fulfil_demo_catalog.rehearsal import Rehearsal

from fulfil.bench.devices import add_station
from fulfil.bench.people import add_person
from fulfil.orders.importing import import_orders
from fulfil.progress import tell
from fulfil.records.bench import Role, StationKind
from fulfil.records.part import Supply
from fulfil.records.plan import Bag, WalkRecord
from fulfil.stock.catalogue import import_catalogue
from fulfil.stock.jobs import make_jobs
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.lookalikes import look_alike_index
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks
from fulfil.walks.times import BEGUN, ENDED, say_walk

SEED = 47

PEOPLE = (
    ("mara", ("owner",), "5829"),
    ("anna", ("check", "pack"), "4071"),
    ("ben", ("check", "pack"), "9264"),
    ("carla", ("pick",), "3608"),
    ("dora", ("clerk",), "7413"),
    ("emil", ("make",), "6190"),
)
"""Invented people with their roles and PINs."""
STATIONS = {
    "cart-1": "cart",
    "check-1": "check",
    "pack-1": "pack",
    "desk-1": "clerk",
    "make-1": "make-room",
    "wall-1": "wall",
}
AT = {"cart-1": "carla", "check-1": "anna", "pack-1": "ben", "desk-1": "dora", "make-1": "emil"}
"""Who works at which station."""
SECOND = "mara"
"""Who agrees to a closing."""
PICKED, PACKED = 3, 1
_STEP, _STEPS = "the rehearsal's shop", 5
"""What is told of how far it is: catalogue, orders, plan, papers, the hours before."""
"""Of the shortest walks so many are checked already, and the orders of so many are packed."""


def prepare(
    catalogue: Path,
    out: Path,
    codes: Mapping[str, str],
    *,
    salt: Callable[[], bytes],
    people: Sequence[tuple[str, tuple[str, ...], str]] = PEOPLE,
    is_under_way: bool = False,
) -> tuple[Path, datetime]:
    """Makes the shop in a folder that is empty or holds an earlier demo; its file, and the time when its day goes on.

    With ``is_under_way`` a few walks were picked and checked before, some orders are packed, and the make-room has its
    jobs, so that every page has something to show.

    Raises:
        FileRefused: when the folder holds something else.
    """
    path = claim(out)
    begins = morning(DAY)
    with open_shop(path, create=True) as shop:
        tell(_STEP, 0, _STEPS)
        import_catalogue(shop, catalogue, at=begins, person=CLERK)
        tell(_STEP, 1, _STEPS)
        for name in ("orders.csv", "orders_phone.json"):
            import_orders(shop, catalogue / name, at=begins, person=CLERK)
        tell(_STEP, 2, _STEPS)
        plan_day(shop, day=DAY, at=begins, person=PLANNER, seed=1, effort="none")
        tell(_STEP, 3, _STEPS)
        release_walks(shop, [], out / "papers" / "walks", at=begins, person=PLANNER)
        tell(_STEP, 4, _STEPS)
        if is_under_way:
            _begin_day(shop, begins)
        tell(_STEP, _STEPS, _STEPS)
        let_in(shop, people, codes, at=begins + timedelta(hours=2), salt=salt)
    mark_made(out)
    return path, begins + timedelta(hours=2)


def _begin_day(shop: Shop, begins: datetime) -> None:
    """Two hours of the day, simulated: walks, checks with planted mistakes, packages, jobs for what is short."""
    rehearsal = Rehearsal(shop, seed=SEED, begins=begins, rates=MistakeRates(), index=look_alike_index)
    rehearsal.check_all_scales()
    with shop.reading() as books:
        walks = sorted(books.find(WalkRecord), key=lambda walk: (walk.stops, walk.number))[:PICKED]
    for minutes, walk in enumerate(walks, start=1):
        say_walk(shop, walk.number, BEGUN, at=begins + timedelta(minutes=10 * minutes), person=PLANNER)
        say_walk(shop, walk.number, ENDED, at=begins + timedelta(minutes=10 * minutes + 9), person=PLANNER)
    rehearsal.now = begins + timedelta(minutes=10 * PICKED + 20)
    rehearsal.check_all_bags([walk.number for walk in walks])
    with shop.reading() as books:
        bags = books.find(Bag, walk_number=[walk.number for walk in walks[-PACKED:]])
    rehearsal.pack_all_orders({bag.order_number for bag in bags})
    make_jobs(shop, Supply.MAKE, day=DAY, at=rehearsal.now, person=PLANNER)


def let_in(
    shop: Shop,
    people: Sequence[tuple[str, tuple[str, ...], str]],
    codes: Mapping[str, str],
    *,
    at: datetime,
    salt: Callable[[], bytes],
) -> None:
    """Adds the people and the stations."""
    for name, roles, pin in people:
        add_person(shop, name, [*map(Role, roles)], pin, salt=salt(), at=at, person=CLERK)
    for name, code in codes.items():
        add_station(shop, name, StationKind(STATIONS[name]), code, at=at, person=CLERK)
