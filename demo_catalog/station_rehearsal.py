"""The demo shop for the stations' pages: its walks are released, its people have PINs, its stations wait for a tablet.

Everything is invented, the PINs are printed: such a shop is for trying, and says so on every paper.
"""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from fulfil_demo_catalog.demo_day import CLERK, DAY, PLANNER, morning
from fulfil_demo_catalog.folder import claim, mark_made

from fulfil.bench.devices import add_station
from fulfil.bench.people import add_person
from fulfil.orders.importing import import_orders
from fulfil.records.bench import Role, StationKind
from fulfil.stock.catalogue import import_catalogue
from fulfil.store.shop import Shop, open_shop
from fulfil.walks.plan import plan_day
from fulfil.walks.releasing import release_walks

PEOPLE = (
    ("mara", ("owner",), "5829"),
    ("anna", ("check", "pack"), "4071"),
    ("ben", ("check", "pack"), "9264"),
)
"""Invented people with their roles and PINs."""
STATIONS = {"check-1": "check", "pack-1": "pack", "wall-1": "wall"}


def prepare(
    catalogue: Path,
    out: Path,
    codes: Mapping[str, str],
    *,
    salt: Callable[[], bytes],
    people: Sequence[tuple[str, tuple[str, ...], str]] = PEOPLE,
) -> tuple[Path, datetime]:
    """Makes the shop in a folder that is empty or holds an earlier demo; its file, and the time when its day goes on.

    Raises:
        FileRefused: when the folder holds something else.
    """
    path = claim(out)
    begins = morning(DAY)
    with open_shop(path, create=True) as shop:
        import_catalogue(shop, catalogue, at=begins, person=CLERK)
        for name in ("orders.csv", "orders_phone.json"):
            import_orders(shop, catalogue / name, at=begins, person=CLERK)
        plan_day(shop, day=DAY, at=begins, person=PLANNER, seed=1, effort="none")
        release_walks(shop, [], out / "papers" / "walks", at=begins, person=PLANNER)
        let_in(shop, people, codes, at=begins + timedelta(hours=2), salt=salt)
    mark_made(out)
    return path, begins + timedelta(hours=2)


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
