"""Where the pieces of a shop are, read for tests: of each order line by place, of each part by place.

Places are pairs of what they are and what they refer to: ``("in a bag", "B2607140003")``, ``("waiting", "")``.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping

from fulfil.store.shop import Shop

Place = tuple[str, str]
LineKey = tuple[str, int, str]
"""Order, line, part: of a kit's line there is one for each part of it."""
Owed = dict[LineKey, Counter[Place]]
Stock = dict[str, Counter[Place]]


def owed(shop: Shop) -> Owed:
    """What is owed: of every order line how many pieces are in which place."""
    from fulfil.records.pieces import OwedBalance

    found: Owed = defaultdict(Counter)
    with shop.reading() as books:
        for one in books.find(OwedBalance):
            found[one.order_number, one.line_no, one.part_number][one.place.value, one.ref] += one.pieces
    return dict(found)


def stock(shop: Shop) -> Stock:
    """What is there: of every part how many pieces are in which place."""
    from fulfil.records.pieces import StockBalance
    from fulfil.records.place import Bin

    found: Stock = defaultdict(Counter)
    with shop.reading() as books:
        for place in books.find(Bin):
            if place.pieces:
                found[place.part_number]["bin", place.code] += place.pieces
        for one in books.find(StockBalance):
            found[one.part_number][one.place.value, one.ref] += one.pieces
    return dict(found)


def line_at(shop: Shop, number: str, line_no: int, part: str = "") -> dict[str, int]:
    """Of one line (of a kit: of one part of it) how many pieces are in each kind of place."""
    at: Counter[str] = Counter()
    for (order, line, part_number), places in owed(shop).items():
        if (order, line) == (number, line_no) and part in ("", part_number):
            for (place, _), pieces in places.items():
                at[place] += pieces
    return dict(at)


def by_kind(places: Mapping[Place, int]) -> Counter[str]:
    """The same without the references."""
    at: Counter[str] = Counter()
    for (place, _), pieces in places.items():
        at[place] += pieces
    return at
