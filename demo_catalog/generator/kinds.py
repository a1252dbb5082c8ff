"""What a family of parts has in common, and one item of it before the catalogue gives it a lot and a sample.

A family is a list of sizes, each in a few finishes; the finishes of one size share the stem of the part number and
are look-alikes by weight. Numbers are the shop's own: two letters, a running number of the size, a letter of the
finish.

>>> screws = Kind("cap screw", "CS", "fasteners", "steel cap screws", "731815", "buy", (0.5, 1.0), "hundreds", 0.45)
>>> [(item.number, item.description) for item in range_of(screws, [Size("M3 x 16", 1.2, 150, 19)], [ZINC, BLACK])]
[('CS0001-Z', 'Cap screw M3 x 16, zinc'), ('CS0001-B', 'Cap screw M3 x 16, black')]
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from fulfil_demo_catalog.generator.shapes import sides_mm

METAL = "(steel or brass)"
"""Stands in a customs description where the finish decides the material, as it decides the code."""


@dataclass(frozen=True)
class Kind:
    """What all parts of a family share.

    Attributes:
        family: the word on the papers.
        prefix: two letters that begin its part numbers.
        topic: fasteners, clock, automata, music or workshop; what a customer's project draws from.
        customs: goods and use, as a customs form wants them.
        hs_code: the shop's own choice of a Harmonized System code.
        supply: make or buy.
        spread_percent: range of the s.d. from piece to piece, in per cent of the unit weight.
        habit: how many pieces customers order, a key of ``orders.PIECES``.
        solid_fraction: share of a heap that is filled by the pieces' envelopes.
        price_eur: a price for each piece, and one for each gram of it.
        popularity: how often its parts are ordered, against 1 for an ordinary family.
        hazards: hazard words, space separated.
    """

    family: str
    prefix: str
    topic: str
    customs: str
    hs_code: str
    supply: str
    spread_percent: tuple[float, float]
    habit: str
    solid_fraction: float
    price_eur: tuple[float, float] = (0.05, 0.01)
    popularity: float = 1.0
    hazards: str = ""


@dataclass(frozen=True)
class Size:
    """One size of a family: its name, mass, envelope volume and longest side.

    ``basis`` says where the mass comes from: geometry (a formula of :mod:`fulfil_demo_catalog.generator.fasteners`),
    handbook (its published tables) or supplier (invented for this shop, as a supplier would state it). ``number`` takes
    the place of the running stem for parts that carry an old number.
    """

    name: str
    weight_g: float
    envelope_mm3: float
    longest_mm: float
    basis: str = "supplier"
    hazards: str = ""
    number: str = ""


@dataclass(frozen=True)
class Finish:
    """A visible finish, the letter that ends the part number, and its mass against the size's mass."""

    name: str
    letter: str
    factor: float = 1.0
    hazards: str = ""


ZINC = Finish("zinc", "Z")
BLACK = Finish("black", "B", 0.9985)
STAINLESS = Finish("stainless", "S", 7.90 / 7.85)
BRASS_PLATED = Finish("brass-plated", "P", 1.003)
BLUED = Finish("blued", "U", 0.999)
BRASS = Finish("brass", "M", 8.47 / 7.85, "leaded-brass")
"""Turned from free-cutting brass with about 3 % lead."""
SHEET_BRASS = Finish("brass", "M", 8.44 / 7.85)
"""Stamped or headed from brass without lead."""
PLAIN = Finish("", "")


@dataclass(frozen=True)
class Item:
    """One part, before the catalogue gives it a lot, a sample and a price."""

    kind: Kind
    number: str
    stem: str
    size: Size
    finish: Finish

    @property
    def weight_g(self) -> float:
        """Nominal mass of one piece."""
        return self.size.weight_g * self.finish.factor

    @property
    def bulk_volume_mm3(self) -> float:
        """The room that one piece takes in a heap."""
        return self.size.envelope_mm3 / self.kind.solid_fraction

    @property
    def longest_mm(self) -> int:
        """Longest side, rounded up to a whole millimetre."""
        return self.sides_mm[0]

    @property
    def sides_mm(self) -> tuple[int, int, int]:
        """The three sides, longest first, rounded up to whole millimetres."""
        return sides_mm(self.kind.family, self.size.longest_mm, self.size.envelope_mm3)

    @property
    def description(self) -> str:
        """Family, size and finish as one line."""
        name = self.kind.family[0].upper() + self.kind.family[1:]
        return f"{name} {self.size.name}" + (f", {self.finish.name}" if self.finish.name else "")

    @property
    def hazards(self) -> str:
        """The hazard words of family, size and finish, each once, in that order."""
        words = f"{self.kind.hazards} {self.size.hazards} {self.finish.hazards}".split()
        return " ".join(dict.fromkeys(words))


def range_of(kind: Kind, sizes: Iterable[Size], finishes: Iterable[Finish] = (PLAIN,)) -> Iterator[Item]:
    """Every size in every finish, numbered in the order given."""
    for serial, size in enumerate(sizes, start=1):
        stem = size.number or f"{kind.prefix}{serial:04d}"
        for finish in finishes:
            number = f"{stem}-{finish.letter}" if finish.letter and not size.number else stem
            yield Item(kind, number, stem, size, finish)
