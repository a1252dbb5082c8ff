"""What ties a bin to the books: pieces in it, promises from it, bags whose pieces may come back to it.

A bin that is tied can't leave the shop or take another part. The ties are said in words, each with what to do, so that
an import, a change and a retirement of a bin all refuse for the same reasons.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.order import ENDED, Order
from fulfil.records.place import Bin, StockEntry
from fulfil.records.plan import Allocation, Bag, BagState
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books


@dataclass(frozen=True)
class Tie:
    """Why a bin must stay as it is, and what to do about it."""

    says: str
    do: str


def count_bins(books: Books, changes: Mapping[str, int], *, source: str, at: datetime, person: str) -> None:
    """Books what counts of bins found more (above zero) or less than the books; ``changes`` is by bin."""
    bins = {place.code: place for place in books.find(Bin, code=sorted(changes))}
    entries = [
        StockEntry(part_number=bins[code].part_number, bin_code=code, pieces=change, reason="counted", source=source)
        for code, change in sorted(changes.items())
        if change
    ]
    books.book_stock(entries, at=at, person=person)


def promised_from(books: Books, codes: Iterable[str]) -> dict[str, dict[str, int]]:
    """Pieces that lie in these bins for orders: by bin, by order."""
    promised: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for promise in books.find(Allocation, bin_code=sorted(codes)):
        promised[promise.bin_code][promise.order_number] += promise.pieces
    return {code: dict(orders) for code, orders in promised.items()}


def ties_of(books: Books, bins: Sequence[Bin]) -> dict[str, tuple[Tie, ...]]:
    """The ties of each of these bins that has any, by its code."""
    codes = [place.code for place in bins]
    if not codes:
        return {}
    promised = promised_from(books, codes)
    away = _may_come_back(books, codes)
    ties: dict[str, tuple[Tie, ...]] = {}
    for place in bins:
        found = []
        if place.pieces:
            do = f"move its pieces, then: fulfil stock count {place.code} 0"
            found.append(Tie(f"holds {place.pieces} pieces by the books", do))
        if place.code in promised:
            orders = promised[place.code]
            says = f"{sum(orders.values())} pieces are promised from it to {', '.join(sorted(orders))}"
            found.append(Tie(says, "ship or cancel them first"))
        if place.code in away:
            says = f"pieces of it are in bags that may come back: {', '.join(away[place.code])}"
            found.append(Tie(says, "ship these bags, or put them back, first"))
        if found:
            ties[place.code] = tuple(found)
    return ties


def need_free(books: Books, place: Bin, attempted: str) -> None:
    """Checks that nothing ties a bin.

    Raises:
        StateRefused: something does; says what, and what to do.
    """
    for tie in ties_of(books, [place]).get(place.code, ()):
        raise StateRefused(attempted, place.code, f"a free bin, but {tie.says}; {tie.do}")


def need_bins(books: Books, codes: Iterable[str], attempted: str, value: object) -> dict[str, Bin]:
    """The bins with these codes, for a paper or a proof that needs each of them.

    Raises:
        StateRefused: one has left the shop since.
    """
    wanted = sorted(set(codes))
    bins = {place.code: place for place in books.find(Bin, code=wanted)}
    gone = [code for code in wanted if code not in bins]
    if gone:
        raise StateRefused(attempted, value, f"bins that the shop still has; {', '.join(gone)} is retired")
    return bins


def _may_come_back(books: Books, codes: Sequence[str]) -> dict[str, list[str]]:
    """Bags with pieces of these bins that haven't left: a check can be undone, a pulled bag be put back."""
    bags = [bag for bag in books.find(Bag, bin_code=[*codes]) if bag.state in (BagState.PASSED, BagState.PACKED)]
    here = {
        order.number
        for order in books.find(Order, number=sorted({bag.order_number for bag in bags}))
        if order.state not in ENDED
    }
    away: dict[str, set[str]] = defaultdict(set)
    for bag in bags:
        if bag.order_number in here:
            away[bag.bin_code].add(bag.code)
    for pulled in books.find(PulledBag, bin_code=[*codes]):
        if not pulled.is_back:
            away[pulled.bin_code].add(pulled.bag_code)
    return {code: sorted(found) for code, found in away.items()}
