"""What ties a bin to the books: pieces in it, promises from it, bags whose pieces may come back to it.

A bin that is tied can't leave the shop or take another part. The ties are said in words, each with what to do, so that
an import, a change and a retirement of a bin all refuse for the same reasons.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from fulfil.errors import StateRefused
from fulfil.records.pieces import Owed, OwedBalance, bin_move
from fulfil.records.place import Bin
from fulfil.records.plan import Bag
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
    moves = [
        bin_move(part_number=bins[code].part_number, bin_code=code, pieces=change, reason="counted", source=source)
        for code, change in sorted(changes.items())
        if change
    ]
    books.move(stock=moves, at=at, person=person)


def promised_from(books: Books, codes: Iterable[str]) -> dict[str, dict[str, int]]:
    """Pieces that lie in these bins for orders, planned or in a bag that hasn't passed: by bin, by order."""
    wanted = {*codes}
    owed = books.find(OwedBalance, place=[Owed.PROMISED, Owed.BAGGED])
    bags = _bags(books, owed, Owed.BAGGED)
    promised: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one in owed:
        code = one.ref if one.place is Owed.PROMISED else bags[one.ref].bin_code
        if code in wanted:
            promised[code][one.order_number] += one.pieces
    return {code: dict(orders) for code, orders in promised.items()}


def walks_to(books: Books, code: str) -> list[str]:
    """The walks on paper that go to a bin for bags that haven't passed yet."""
    bags = _bags(books, books.find(OwedBalance, place=Owed.BAGGED), Owed.BAGGED)
    return sorted({bag.walk_number for bag in bags.values() if bag.bin_code == code})


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
            do = f"move its pieces; then fulfil bins count {place.code} --counted 0 books it empty"
            found.append(Tie(f"holds {place.pieces} pieces by the books", do))
        if place.code in promised:
            orders = promised[place.code]
            says = f"{sum(orders.values())} pieces are promised from it to {', '.join(sorted(orders))}"
            anew = f"fulfil bins lacks {place.code} --holds 0 plans them anew"
            do = f"ship or cancel them; or move its pieces, then {anew}"
            found.append(Tie(says, do))
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
    owed = books.find(OwedBalance, place=[Owed.PASSED, Owed.BOXED, Owed.SEALED])
    packages = sorted({one.ref for one in owed if one.place is not Owed.PASSED})
    away: dict[str, set[str]] = defaultdict(set)
    for bag in (*_bags(books, owed, Owed.PASSED).values(), *books.find(Bag, package_number=packages)):
        away[bag.bin_code].add(bag.code)
    for pulled in books.find(PulledBag, put_back_at=None):
        away[pulled.bin_code].add(pulled.bag_code)
    return {code: sorted(away[code]) for code in codes if code in away}


def _bags(books: Books, owed: Iterable[OwedBalance], place: Owed) -> dict[str, Bag]:
    """The bags that hold what is owed in such a place, by code."""
    return {bag.code: bag for bag in books.find(Bag, code=sorted({one.ref for one in owed if one.place is place}))}
