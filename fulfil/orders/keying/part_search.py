"""A part by its number or by words of it: what a person at the telephone says.

Every word must stand somewhere in the number, description, family, size or finish; letters of either case, accents left
out. The shop's own number wins over words, and a part whose number is all that was said wins over others.

>>> from fulfil.records.tiny import PART
>>> [one.number for one in with_words([PART], "ball 3")], with_words([PART], "cog")
(['BALL-3'], [])
"""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

from fulfil.errors import UnknownRefused
from fulfil.orders.extras import PartNumbers
from fulfil.records.part import Part
from fulfil.records.pieces import Owed, OwedBalance
from fulfil.records.place import Bin
from fulfil.standards.iso4217 import print_money
from fulfil.store.books import Books

MOST_OFFERED = 9
_PLAIN = str.maketrans({"œ": "oe", "æ": "ae", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"})
"""Letters that Unicode does not take apart, as people type them without their keys (common practice)."""
IN_BINS = (Owed.WAITING, Owed.PROMISED, Owed.BAGGED)
"""Where pieces that are owed still lie in bins: a bag's pieces leave their bin when it passes its check."""


@dataclass(frozen=True)
class PartFound:
    """A part with its pieces in bins, and how many of them no order wants yet."""

    part: Part
    pieces: int
    free: int

    def line(self) -> str:
        """The part as a person chooses it."""
        price = print_money(self.part.price_minor, self.part.currency)
        return f"{self.part.number}  {self.part.description}, {price} a piece, {self.free} free of {self.pieces}"


def find_part(books: Books, said: str) -> PartFound:
    """The one part that is meant.

    Raises:
        UnknownRefused: none or several, or one that is retired.
    """
    found = search_parts(books, said)
    if len(found) == 1:
        return found[0]
    part = books.get(Part, PartNumbers(books).find(said))
    if part is not None:
        raise UnknownRefused("order the part", part.number, "one that isn't retired: offer the customer another part")
    if not found:
        raise UnknownRefused("find the part", said, "a part number of the shop, or words of what it is")
    raise UnknownRefused("tell which part is", said, f"one of {len(found)}: its number, or more words")


def search_parts(books: Books, said: str) -> list[PartFound]:
    """The parts that may be meant, by number; retired ones left out."""
    whole = books.get(Part, PartNumbers(books).find(said.strip()))
    if whole is not None:
        return [] if whole.is_retired else [_stocked(books, whole)]
    found = with_words((part for part in books.find(Part) if not part.is_retired), said)
    return [_stocked(books, part) for part in found]


def with_words(parts: Iterable[Part], said: str) -> list[Part]:
    """The parts that hold every word."""
    words = folded(said).split()
    return [part for part in parts if words and all(word in _text(part) for word in words)]


def folded(text: str) -> str:
    """The text without case and accents, for comparing.

    >>> folded("Müller-ŁÓDŹ"), folded("Œil")
    ('muller-lodz', 'oeil')
    """
    apart = unicodedata.normalize("NFKD", text.casefold()).translate(_PLAIN)
    return "".join(character for character in apart if not unicodedata.combining(character))


def _text(part: Part) -> str:
    return folded(f"{part.number} {part.description} {part.family} {part.size} {part.finish}")


def _stocked(books: Books, part: Part) -> PartFound:
    pieces = sum(place.pieces for place in books.find(Bin, part_number=part.number))
    owed = books.find(OwedBalance, part_number=part.number, place=list(IN_BINS))
    return PartFound(part, pieces, max(0, pieces - sum(one.pieces for one in owed)))
