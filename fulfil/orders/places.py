"""Where an order's pieces are: sums over the book of what is owed, read by order.

>>> from fulfil.records.pieces import Owed, OwedBalance
>>> of = {"order_number": "A-1", "line_no": 1, "part_number": "BALL-3"}
>>> at = LinePlaces([OwedBalance(**of, place=Owed.SHORT, pieces=10), OwedBalance(**of, place=Owed.WAITING, pieces=5)])
>>> at.pieces(Owed.SHORT, Owed.WAITING), at.ordered
(15, 15)

Of a kit line the parts are counted; :func:`whole` says how many whole kits they make.
"""

from collections import defaultdict
from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from fulfil.records.kit import KitPart
from fulfil.records.order import OrderLine
from fulfil.records.pieces import ENDED_PLACES, Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
from fulfil.records.revised import revised
from fulfil.store.books import Books

Components = Sequence[tuple[str, int]]
"""The parts of a kit and how many of each are in one."""


@dataclass(frozen=True)
class LinePlaces:
    """The balances of one order line."""

    balances: Sequence[OwedBalance]

    @property
    def ordered(self) -> int:
        """All of its pieces."""
        return sum(one.pieces for one in self.balances)

    def pieces(self, *places: Owed, part_number: str = "") -> int:
        """The pieces in these places, of one part or of all."""
        return sum(one.pieces for one in self.balances if one.place in places and part_number in ("", one.part_number))

    @property
    def open_pieces(self) -> int:
        """What is still owed."""
        return sum(one.pieces for one in self.balances if one.place not in ENDED_PLACES)


def places_of(books: Books, numbers: Collection[str]) -> dict[tuple[str, int], LinePlaces]:
    """The places of every line of these orders."""
    found: dict[tuple[str, int], list[OwedBalance]] = defaultdict(list)
    for balance in books.find(OwedBalance, order_number=sorted(numbers)):
        found[balance.order_number, balance.line_no].append(balance)
    return {key: LinePlaces(balances) for key, balances in found.items()}


def owes(books: Books, number: str) -> bool:
    """Whether anything of an order is still owed."""
    return any(one.place not in ENDED_PLACES for one in books.find(OwedBalance, order_number=number))


def orders_with(books: Books, *places: Owed) -> list[str]:
    """The orders that have pieces in any of these places, by number."""
    return sorted({one.order_number for one in books.find(OwedBalance, place=list(places))})


def kits_of(books: Books) -> dict[str, Components]:
    """The kits that the shop sells: which parts, and how many of each in one."""
    kits: dict[str, list[tuple[str, int]]] = defaultdict(list)
    for row in books.find(KitPart):
        kits[row.kit_number].append((row.part_number, row.pieces))
    return {number: tuple(parts) for number, parts in kits.items()}


def whole(line: OrderLine, at: LinePlaces, *places: Owed) -> int:
    """Pieces of a line in these places; of a kit, whole kits."""
    return whole_of(line, at, lambda one: one.place in places)


def whole_of(line: OrderLine, at: LinePlaces, counts: Callable[[OwedBalance], bool]) -> int:
    """Pieces of a line in the balances that count; of a kit, whole kits.

    Of a line that lacks pieces, in books that another program changed, what is there counts piece by piece.
    """
    totals: dict[str, int] = defaultdict(int)
    counted: dict[str, int] = defaultdict(int)
    for one in at.balances:
        totals[one.part_number] += one.pieces
        counted[one.part_number] += one.pieces * counts(one)
    return min((counted[part] // max(1, n // line.pieces) for part, n in totals.items()), default=0)


@dataclass(frozen=True)
class LineShares:
    """An order line shared out: sent before, now in some packages, to follow, wanted no more; all that was ordered.

    Of a kit line whole kits: one counts as sent with the last of its parts, and follows as long as a part is owed.
    """

    before: int
    now: int
    to_follow: int
    cancelled: int


def shares_of(line: OrderLine, at: LinePlaces, packages: Collection[str] = ()) -> LineShares:
    """Shares a line out as a customer sees it, who has ``packages`` before him."""
    before = whole_of(line, at, lambda one: one.place is Owed.SHIPPED and one.ref not in packages)
    sent = whole_of(line, at, lambda one: one.place is Owed.SHIPPED or one.ref in packages)
    settled = whole_of(line, at, lambda one: one.place in ENDED_PLACES or one.ref in packages)
    return LineShares(before, sent - before, line.pieces - settled, settled - sent)


def promised_by_bin(books: Books) -> dict[str, int]:
    """What is promised from each bin: to plans, and to bags of released walks that have not passed yet."""
    promised: dict[str, int] = defaultdict(int)
    bagged = []
    for one in books.find(OwedBalance, place=[Owed.PROMISED, Owed.BAGGED]):
        if one.place is Owed.PROMISED:
            promised[one.ref] += one.pieces
        else:
            bagged.append(one)
    bin_of = {bag.code: bag.bin_code for bag in books.find(Bag, code=sorted({one.ref for one in bagged}))}
    for one in bagged:
        promised[bin_of[one.ref]] += one.pieces
    return promised


def promised_to(books: Books, bin_code: str) -> list[OwedBalance]:
    """Who was promised what from one bin, in order lines; what is in bags on walks included."""
    bags = {bag.code for bag in books.find(Bag, bin_code=bin_code)}
    return [
        one
        for one in books.find(OwedBalance, place=[Owed.PROMISED, Owed.BAGGED])
        if (one.ref == bin_code if one.place is Owed.PROMISED else one.ref in bags)
    ]


def free_bins(books: Books, bins: Iterable[Bin]) -> list[Bin]:
    """The bins with what is not promised to anyone."""
    return left_in_bins(bins, promised_by_bin(books))


def left_in_bins(bins: Iterable[Bin], promised: Mapping[str, int]) -> list[Bin]:
    """The bins without what is promised from them; a bin counted below its promises has nothing to give."""
    return [
        revised(place, {"pieces": max(0, place.pieces - promised[place.code])}) if promised.get(place.code) else place
        for place in bins
    ]
