"""Recompute both books of pieces from their moves and name every difference, in words.

Compared are: the moves with the balances, levels and figures that the store keeps; lines, bags and packages with the
places of their pieces; what lies in bags, packages and with customers with the bags; closed manifests with their
packages and with their paper; what was recorded with the chain that seals it. Nothing is changed: what is off is for a
person to settle.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from decimal import Decimal

from fulfil.orders.gates import off_lines
from fulfil.orders.places import LinePlaces, shares_of, whole_of
from fulfil.records.despatch.dispatch import Manifest, ManifestState, Package, PackageState
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderLine
from fulfil.records.pieces import OUTSIDE, Owed, OwedBalance, StockBalance, There, order_state
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books
from fulfil.store.shop import Shop

DO = "change nothing there; keep a copy of the shop and ask who looks after it"


MOST_BREAKS = 20
"""Changed records that are named one by one; the first ones say where to look."""


def verify_shop(shop: Shop, head: str = "") -> tuple[Finding, ...]:
    """Every difference, book by book; none where all adds up and nothing was altered.

    ``head`` is the seal from an earlier day report, or its beginning: the record must still contain it.
    """
    with shop.reading() as books:
        return (*differences(books), *alterations(books, head))


def alterations(books: Books, head: str = "") -> Iterator[Finding]:
    """What was altered, removed or added past the shop's doors, the first records first."""
    if head and not books.has_head(head.casefold()):
        says = "the record does not contain the seal of that day report: it was made anew, or its end was cut off"
        yield Finding("record", None, "seal", head, says, DO)
    found = [*books.breaks()]
    for one in found[:MOST_BREAKS]:
        yield Finding("record", None, one.table.replace("_", " "), str(one.key), f"this record is {one.what}", DO)
    if len(found) > MOST_BREAKS:
        yield Finding(
            "record", None, "", "", f"{len(found) - MOST_BREAKS} more records are altered, missing or added", DO
        )


def differences(books: Books) -> Iterator[Finding]:
    """The differences in these books."""
    owed, stock = books.sums_of_moves()
    balances = books.find(OwedBalance)
    kept = {(one.order_number, one.line_no, one.part_number, one.place, one.ref): one.pieces for one in balances}
    for key in sorted(kept.keys() | owed.keys()):
        order, line_no, part, place, ref = key
        if place is not Owed.ORDERED and kept.get(key, 0) != owed.get(key, 0):
            where = f"line {line_no}, {part}, '{place}' {ref}".rstrip()
            yield _off(f"order {order}", where, kept.get(key, 0), f"its moves leave {owed.get(key, 0)}")
    yield from _stock(books, stock)
    orders = books.find(Order)
    numbers = [order.number for order in orders]
    yield from _figures(books, orders, balances)
    for number, says in off_lines(books, numbers):
        yield Finding(f"order {number}", None, "pieces", number, says, DO)
    yield from _bags(books)
    yield from _manifests(books)


def _stock(books: Books, stock: dict[tuple[There, str, str], int]) -> Iterator[Finding]:
    kept = {(one.place, one.ref, one.part_number): one.pieces for one in books.find(StockBalance)}
    kept |= {(There.BIN, one.code, one.part_number): one.pieces for one in books.find(Bin) if one.pieces}
    for key in sorted(kept.keys() | stock.keys()):
        place, ref, part = key
        if place not in OUTSIDE and kept.get(key, 0) != stock.get(key, 0):
            yield _off(f"{place} {ref}".rstrip(), part, kept.get(key, 0), f"its moves leave {stock.get(key, 0)}")


def _figures(books: Books, orders: Iterable[Order], balances: Iterable[OwedBalance]) -> Iterator[Finding]:
    by_line: dict[tuple[str, int], list[OwedBalance]] = defaultdict(list)
    by_order: dict[str, dict[Owed, int]] = defaultdict(lambda: defaultdict(int))
    for one in balances:
        by_line[one.order_number, one.line_no].append(one)
        by_order[one.order_number][one.place] += one.pieces
    for order in orders:
        state = order_state(by_order[order.number], is_held=bool(order.held_reason))
        if state is not order.state:
            yield _off(f"order {order.number}", "state", order.state, f"its pieces say '{state}'")
    for line in books.find(OrderLine):
        at = LinePlaces(by_line[line.order_number, line.line_no])
        not_short = whole_of(line, at, lambda one: one.place is not Owed.SHORT)
        for name, figure, pieces in (
            # A kit is short as soon as one of its parts is.
            ("short", line.short_pieces, line.pieces - not_short),
            ("cancelled", line.cancelled_pieces, shares_of(line, at).cancelled),
        ):
            if pieces != figure:
                where = f"order {line.order_number}, line {line.line_no}"
                yield _off(where, name, figure, f"its places say {pieces}")


def _bags(books: Books) -> Iterator[Finding]:
    """What lies in bags, packages and with customers, by the bags and by the book of what is there."""
    packages = {package.number: package for package in books.find(Package)}
    there: dict[tuple[There, str], int] = defaultdict(int)
    for bag in books.find(Bag):
        if bag.state is BagState.PASSED:
            there[There.BAG, bag.code] += bag.pieces
        elif bag.state is BagState.PACKED:
            package = packages.get(bag.package_number)
            if package is None:
                yield _off(f"bag {bag.code}", "package", bag.package_number, "the shop has no such package")
            elif package.state is not PackageState.SHIPPED:
                there[There.PACKAGE, bag.package_number] += bag.pieces
    pulled = {bag.bag_code: 0 if bag.is_back else bag.pieces for bag in books.find(PulledBag)}
    kept: dict[tuple[There, str], int] = defaultdict(int)
    for one in books.find(StockBalance, place=[There.BAG, There.PACKAGE]):
        kept[one.place, one.ref] += one.pieces
    for place, ref in sorted(kept.keys() | there.keys()):
        if place is There.BAG and ref in pulled and there[place, ref] == 0 and kept[place, ref] <= pulled[ref]:
            continue
        if kept[place, ref] != there[place, ref]:
            yield _off(f"{place} {ref}", "pieces", kept[place, ref], f"the bags say {there[place, ref]}")


def _manifests(books: Books) -> Iterator[Finding]:
    for manifest in books.find(Manifest, state=ManifestState.CLOSED):
        packages = books.find(Package, manifest_number=manifest.number)
        weight_g = sum((package.known_g for package in packages), Decimal(0))
        if (len(packages), weight_g) != (manifest.packages, manifest.weight_g):
            says = f"{manifest.packages} packages, {manifest.weight_g} g"
            yield _off(f"manifest {manifest.number}", "sums", says, f"its packages are {len(packages)}, {weight_g} g")


def _off(source: str, field: str, value: object, says: str) -> Finding:
    return Finding(source, None, field, str(value), says, DO)
