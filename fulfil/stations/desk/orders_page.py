"""Orders from a file at the desk: looked at or taken in, each order whole or not at all; what was not is said.

A source's files are read by the mapping that was kept for it (:mod:`fulfil.stations.desk.reading_page`, or ``fulfil
orders map``), others by the shop's own columns.
The file is written into a folder of its own for as long as it is read. The same file again changes nothing.
"""

from collections.abc import Sequence

from starlette.responses import Response

from fulfil.orders.importing import OrdersImport, import_orders
from fulfil.records.bench import StationKind
from fulfil.records.order_mapping import KeptMapping
from fulfil.stations.desk.lines import Told, take_line
from fulfil.stations.house import House
from fulfil.stations.posted_file import written
from fulfil.stations.visit import Visit, shown, worked_at
from fulfil.store.shop import Shop

PATH = "/clerk/orders"
_MOST_SHOWN = 12
_YET = "Nothing is taken in yet: choose the file again."


@worked_at(StationKind.CLERK)
def show(house: House, visit: Visit) -> Response:
    """Which file, of which source."""
    return _page(house, visit, Told())


@worked_at(StationKind.CLERK)
def take(house: House, visit: Visit) -> Response:
    """The file looked at, or its orders taken in."""
    assert visit.worker is not None  # noqa: S101
    at, person, form, file = visit.at, visit.worker.name, visit.form, visit.file

    def done(shop: Shop, *, is_dry_run: bool) -> tuple[str, ...]:
        source, in_latin = form.get("source", ""), form.get("latin") == "yes"
        with written(file, "read the orders", "a file: choose the one that holds the orders") as path:
            told = import_orders(
                shop, path, at=at, person=person, source=source, in_latin=in_latin, is_dry_run=is_dry_run
            )
            return says_of_orders(path.name, told, yet=_YET if is_dry_run else "")

    def look(shop: Shop, _: str) -> tuple[str, ...]:
        return done(shop, is_dry_run=True)

    def take_in(shop: Shop, _: str) -> tuple[str, ...]:
        return done(shop, is_dry_run=False)

    return _page(house, visit, take_line(house, visit, {"look": look, "take": take_in}))


def says_of_orders(name: str, told: OrdersImport, *, yet: str) -> tuple[str, ...]:
    """What an import came to; ``yet`` says of one that was only looked at that nothing did."""
    new, many = told.new, len(told.new)
    says = [f"{name}: {many} new order{'' if many == 1 else 's'}, {len(told.unchanged)} known already."]
    if yet:
        says.append(yet)
    elif new:
        says.append(f"Taken in: {', '.join(new[:_MOST_SHOWN])}{' …' * (many > _MOST_SHOWN)}.")
    if told.charges or told.returns:
        says.append(
            f"{told.charges} charges; {told.returns} lines of cancellations and returns: {told.matched_pieces} pieces "
            f"found their orders, {told.waiting_pieces} wait."
        )
    says += _some("", told.notes)
    says += _some("Known with other content, and not changed:", told.conflicts)
    says += _some("Not taken, each order whole:", told.findings)
    says += _some("Goods that a service refuses; look at them now, not at the packing bench:", told.refused)
    return tuple(says)


def _some(head: str, found: Sequence[object]) -> list[str]:
    """The first few, under their head, and how the others are seen."""
    more = len(found) - _MOST_SHOWN
    said = [head] if head and found else []
    said += [f"{one}" for one in found[:_MOST_SHOWN]]
    return [*said, f"and {more} more: fulfil orders import FILE --rejects ROWS"] if more > 0 else said


def _page(house: House, visit: Visit, told: Told) -> Response:
    with house.shop.reading() as books:
        sources = sorted(one.source for one in books.find(KeptMapping))
    typed = visit.form if told.is_refused else {}
    return shown("orders.html", visit, told=told, sources=sources, typed=typed, key=house.fresh())
