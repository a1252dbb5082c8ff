"""What the cart's page shows: the walk in hand with all its stops, or the walks that wait.

All stops are on the page, in walking order, so that the tablet can go on without the shop; its script shows one at a
time.
"""

from dataclasses import dataclass

from markupsafe import Markup

from fulfil.orders.listed import recent_walks
from fulfil.orders.moving import DONE
from fulfil.papers.elements.counted import counted
from fulfil.papers.walk.pick_list_sheet import PickBag, PickStop
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, WalkRecord
from fulfil.stations.cart.floor_map import floor_map
from fulfil.store.books import Books
from fulfil.walks.papers import pick_way
from fulfil.walks.times import whose_hands
from fulfil.walks.under_way.picking import filled_bags, walk_in_hands


@dataclass(frozen=True)
class CartBag:
    """A bag to fill: ``window`` is what the scale may show, ``is_done`` what the shop knows of it."""

    bag: PickBag
    window: str
    is_done: bool
    is_checked: bool


@dataclass(frozen=True)
class CartStop:
    """A stop with its bags; ``other_bins`` are the part's other places."""

    stop: PickStop
    looks: str
    where: str
    bags: tuple[CartBag, ...]
    other_bins: tuple[str, ...]
    is_done: bool
    ordinal: int


@dataclass(frozen=True)
class Waiting:
    """A walk that nobody has begun."""

    number: str
    says: str


@dataclass(frozen=True)
class CartView:
    """The page; without a walk, those that wait. ``says`` is what was said last."""

    walk: WalkRecord | None
    stops: tuple[CartStop, ...]
    drawn: Markup
    cut_off: str
    waiting: tuple[Waiting, ...]
    says: tuple[str, ...]
    is_refused: bool


def cart_view(books: Books, person: str, *, says: tuple[str, ...] = (), is_refused: bool = False) -> CartView:
    """The page of somebody with a cart."""
    released = [walk for walk in recent_walks(books) if walk.released_at is not None]
    walk = walk_in_hands(books, person, released=released)
    if walk is None:
        return CartView(None, (), Markup(), "", _waiting(books, released), says, is_refused)
    way = pick_way(books, walk)
    bags = books.find(Bag, walk_number=walk.number)
    checked = {bag.code for bag in bags if bag.state in DONE}
    done = filled_bags(books, [bag.code for bag in bags]) | checked
    other = _other_bins(books, way.stops)
    stops = tuple(_stop(stop, done, checked, other, place) for place, stop in enumerate(way.stops, start=1))
    drawn = floor_map(way.route_map, {one.stop.stop_no for one in stops if one.is_done})
    cut_off = f"ready by {way.cut_off:%H:%M} for {way.cut_off_service}" if way.cut_off else ""
    return CartView(walk, stops, drawn, cut_off, (), says, is_refused)


def _stop(
    stop: PickStop, done: frozenset[str] | set[str], checked: set[str], other: dict[str, list[str]], place: int
) -> CartStop:
    bags = tuple(
        CartBag(bag, _window(bag), bag.bag_code in done, bag.bag_code in checked)
        for bag in sorted(stop.bags, key=lambda one: (one.cart_position, one.bag_code))
    )
    hand = f"on your {stop.on_your.value}" if stop.on_your else f"{stop.side.value} side"
    return CartStop(
        stop,
        " · ".join(word for word in (stop.family, stop.size, stop.finish) if word),
        f"{hand}, section {stop.section}, level {stop.level}",
        bags,
        tuple(code for code in other.get(stop.part_number, ()) if code != stop.bin_code),
        all(one.is_done for one in bags),
        place,
    )


def _window(bag: PickBag) -> str:
    if bag.lower_g is None or bag.upper_g is None:
        return "count by hand"
    return f"{bag.scale}: {bag.lower_g} – {bag.upper_g} g"


def _other_bins(books: Books, stops: tuple[PickStop, ...]) -> dict[str, list[str]]:
    """All bins of the walk's parts."""
    parts = sorted({stop.part_number for stop in stops})
    found: dict[str, list[str]] = {}
    for place in sorted(books.find(Bin, part_number=parts), key=lambda one: one.code):
        found.setdefault(place.part_number, []).append(place.code)
    return found


def _waiting(books: Books, released: list[WalkRecord]) -> tuple[Waiting, ...]:
    """Walks on paper that nobody is on and that have bags to fill, in the order of their numbers."""
    found = []
    for walk in sorted(released, key=lambda one: one.number):
        bags = [bag.code for bag in books.find(Bag, walk_number=walk.number) if bag.state not in DONE]
        left = len(bags) - len(filled_bags(books, bags))
        if left and whose_hands(books, walk.number) is None:
            many = ", ".join((counted(walk.orders, "order"), counted(walk.stops, "stop"), counted(left, "bag")))
            found.append(Waiting(walk.number, f"{many}, {round(walk.length_mm / 1000)}\N{NO-BREAK SPACE}m"))
    return tuple(found)
