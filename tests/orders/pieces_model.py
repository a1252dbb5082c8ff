"""Where every piece should be, by the meaning of each step: plain dictionaries, no table and no code of the shop.

A piece of an order line is in exactly one place; a piece of stock, too. Steps *move* the one and *carry* the other.
Where the shop may choose (which bin is promised, which bags a line gets), the model takes the choice over and checks
that it is one of those that the step allows (:meth:`Model.choose`).
"""

from collections import Counter
from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field

from tests.piece_places import LineKey, Owed, Place, Stock

WAITING: Place = ("waiting", "")
SHORT: Place = ("short", "")
HELD: Place = ("held", "")
CANCELLED: Place = ("cancelled", "")
UNPLANNED = ("waiting", "promised", "short", "held")
"""What planning may decide anew."""
AT_BENCH = ("in a bag", "passed", "in a package", "sealed")
ENDED = ("shipped", "cancelled")


@dataclass(frozen=True)
class ModelBag:
    """A bag as it was planned: whose, from which bin, how many, on which walk."""

    key: LineKey
    bin_code: str
    pieces: int
    walk: str


@dataclass
class Model:
    """What is owed and what is there; ``ordered`` and ``came`` are what each of them must add up to."""

    owed: Owed = field(default_factory=dict)
    stock: Stock = field(default_factory=dict)
    ordered: Counter[LineKey] = field(default_factory=Counter)
    came: Counter[str] = field(default_factory=Counter)
    held: dict[str, str] = field(default_factory=dict)
    gone_over: set[str] = field(default_factory=set)
    bags: dict[str, ModelBag] = field(default_factory=dict)
    pulled: dict[str, ModelBag] = field(default_factory=dict)
    missing: dict[str, ModelBag] = field(default_factory=dict)

    # What is owed

    def order(self, key: LineKey, pieces: int) -> None:
        """More pieces are ordered, and wait."""
        self.ordered[key] += pieces
        self.owed.setdefault(key, Counter())[WAITING] += pieces

    def move(self, key: LineKey, pieces: int, from_: Place, to: Place) -> None:
        """Pieces of a line go from one place to another."""
        places = self.owed[key]
        assert 0 <= pieces <= places[from_], f"{key}: {pieces} of {places[from_]} from {from_} to {to}"
        places[from_] -= pieces
        places[to] += pieces

    def move_all(self, number: str, kinds: Collection[str], to: Place | None) -> None:
        """All pieces of an order in places of these kinds go to one; None: to nowhere, another order has them."""
        for key in self.keys(number):
            for place in [one for one in self.owed[key] if one[0] in kinds]:
                if to is None:
                    self.ordered[key] -= self.owed[key].pop(place)
                else:
                    self.move(key, self.owed[key][place], place, to)

    def keys(self, number: str) -> list[LineKey]:
        """The lines of an order, of a kit's line each of its parts."""
        return sorted(key for key in self.owed if key[0] == number)

    def at(self, number: str) -> Counter[str]:
        """The pieces of an order by the kind of their place."""
        found: Counter[str] = Counter()
        for key in self.keys(number):
            for (kind, _), pieces in self.owed[key].items():
                found[kind] += pieces
        return +found

    def in_place(self, place: Place) -> dict[LineKey, int]:
        """The lines that have pieces in a place."""
        return {key: places[place] for key, places in self.owed.items() if places[place]}

    def refs(self, number: str, kind: str) -> list[str]:
        """What an order's places of a kind refer to: its bags, its packages."""
        return sorted(
            {ref for key in self.keys(number) for (one, ref), n in self.owed[key].items() if one == kind and n}
        )

    def promised_from(self, bin_code: str) -> int:
        """What is promised from a bin: to plans, and to bags on paper that have not left it."""
        planned = sum(places["promised", bin_code] for places in self.owed.values())
        on_paper = [bag for code, bag in self.bags.items() if self.owed[bag.key]["in a bag", code]]
        return planned + sum(bag.pieces for bag in on_paper if bag.bin_code == bin_code)

    # What is there

    def carry(self, part: str, pieces: int, from_: Place | None, to: Place | None) -> None:
        """Pieces of a part go from one place to another; None is the outside."""
        places = self.stock.setdefault(part, Counter())
        if from_ is None:
            self.came[part] += pieces
        else:
            assert 0 <= pieces <= places[from_], f"{part}: {pieces} of {places[from_]} from {from_} to {to}"
            places[from_] -= pieces
        if to is None:
            self.came[part] -= pieces
        else:
            places[to] += pieces

    def carry_all(self, from_: Place, to: Place) -> None:
        """All that is in a place goes to another."""
        for part, places in self.stock.items():
            if places[from_]:
                self.carry(part, places[from_], from_, to)

    def level(self, bin_code: str) -> int:
        """The pieces of a bin."""
        return sum(places["bin", bin_code] for places in self.stock.values())

    # Steps that several rules share

    def pull(self, code: str) -> None:
        """A bag is pulled: its pieces wait again; those of a bag that nobody checked leave their bin now."""
        bag = self.bags.pop(code)
        kind = "passed" if self.owed[bag.key]["passed", code] else "in a bag"
        self.move(bag.key, bag.pieces, (kind, code), WAITING)
        if kind == "in a bag":
            taken = min(bag.pieces, self.level(bag.bin_code))
            self.carry(bag.key[2], taken, ("bin", bag.bin_code), ("bag", code))
        self.pulled[code] = bag

    def unbox(self, number: str, package_of: dict[str, str]) -> None:
        """The boxes of an order that aren't sealed are undone; ``package_of`` says in which each of its bags lies."""
        for package in self.refs(number, "in a package"):
            self.unbox_one(package, package_of)

    def unbox_one(self, package: str, package_of: dict[str, str]) -> None:
        """The bags of one package come out again."""
        for code in [code for code, one in package_of.items() if one == package]:
            bag = self.bags[code]
            self.move(bag.key, bag.pieces, ("in a package", package), ("passed", code))
            self.carry(bag.key[2], bag.pieces, ("package", package), ("bag", code))

    def hold(self, number: str, reason: str) -> None:
        """What is on no paper and not short is held."""
        self.move_all(number, ("promised", "waiting"), HELD)
        self.held[number] = reason

    # What the shop may choose

    def choose(self, seen: Owed, keys: Iterable[LineKey], may: Callable[[Place], bool]) -> None:
        """Takes over how pieces of these lines are spread over the places that a step may use; none comes or goes."""
        for key in keys:
            mine, theirs = self.owed[key], seen.get(key, Counter())
            free = {place: n for place, n in theirs.items() if may(place)}
            told = sum(n for place, n in mine.items() if may(place))
            assert sum(free.values()) == told, f"{key}: {told} pieces were to be placed, got {free}"
            for place in [place for place in mine if may(place)]:
                del mine[place]
            mine.update(free)

    # What must hold after every step

    def state(self, number: str) -> str:
        """Where an order stands, by where its pieces are."""
        at = set(self.at(number))
        open_ = at - {*ENDED}
        bench = open_ & {*AT_BENCH}
        if not open_:
            return "shipped" if "shipped" in at else "cancelled"
        if number in self.held:
            return "held"
        if bench == {"in a bag"}:
            return "released"
        if bench and ("in a bag" in bench or open_ & {"waiting", "promised", "held"}):
            return "picked"
        if bench:
            return "packed" if bench == {"sealed"} else "checked"
        if "promised" in open_:
            return "allocated"
        return "shipped" if "shipped" in at else "received"

    def check_itself(self) -> None:
        """No place below zero; each line holds what was ordered; what is there is what came."""
        for key, places in self.owed.items():
            assert min(places.values(), default=0) >= 0, key
            assert sum(places.values()) == self.ordered[key], key
        for part, places in self.stock.items():
            assert min(places.values(), default=0) >= 0, part
            assert sum(places.values()) == self.came[part], part

    def numbers(self) -> list[str]:
        """All orders that still have lines."""
        return sorted({key[0] for key in self.owed if self.ordered[key]})

    def open_numbers(self) -> list[str]:
        """Orders of which something is owed."""
        return [number for number in self.numbers() if set(self.at(number)) - {*ENDED}]


def must_agree(what: str, mine: dict, theirs: dict) -> None:
    """Refuses two books that differ in any place, and says in which."""
    off = [
        f"{key} {place}: the model has {mine.get(key, Counter())[place]}, the shop {theirs.get(key, Counter())[place]}"
        for key in sorted(mine.keys() | theirs.keys())
        for place in sorted(mine.get(key, Counter()).keys() | theirs.get(key, Counter()).keys())
        if mine.get(key, Counter())[place] != theirs.get(key, Counter())[place]
    ]
    assert not off, "\n".join([what, *off])
