"""Orders found by what somebody remembers of them: a name, a town, a part, a piece of the number.

Every word must stand somewhere in the order: its number, name, company, street, town, post code, telephone, e-mail,
service, or in the number or description of one of its parts. Case, accents and the signs inside numbers don't matter.

>>> words_of("Müller, +41 44")
('muller', '4144')
"""

import re
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from fulfil.orders.keying.part_search import folded
from fulfil.records.order import ENDED, Order, OrderLine
from fulfil.records.part import Part
from fulfil.store.books import Books

_FIELDS = ("number", "name", "company", "street", "city", "post_code", "region", "country", "email", "service_code")
_DIGITS = re.compile(r"[+(]?[0-9][0-9 ()/.+-]*")


@dataclass(frozen=True)
class OrderFound:
    """An order with the parts that were looked for, where a word meant one."""

    order: Order
    parts: tuple[str, ...] = ()


def words_of(said: str) -> tuple[str, ...]:
    """What is looked for; a telephone number is one word, without the signs between its digits."""
    apart: list[str] = []
    for piece in said.replace(",", " , ").split(","):
        number = piece.strip()
        if _DIGITS.fullmatch(number) and " " in number:
            apart.append(_only_digits(number))
        else:
            apart += folded(piece).split()
    return tuple(apart)


def find_orders(books: Books, said: str) -> list[OrderFound]:
    """The orders that hold every word, those still open first, then the newest first."""
    words = words_of(said)
    if not words:
        return []
    parts = {part.number: folded(f"{part.number} {part.description}") for part in books.find(Part)}
    named = {word: {number for number, text in parts.items() if word in text} for word in words}
    of_order: dict[str, set[str]] = defaultdict(set)
    for line in books.find(OrderLine, part_number=sorted(set().union(*named.values()))):
        of_order[line.order_number].add(line.part_number)
    hits: dict[str, tuple[str, ...]] = {}
    for phone, *fields in books.fields(Order, ("phone", *_FIELDS)):
        number, text, digits = fields[0], folded(" ".join(fields)), _only_digits(phone)
        its = of_order.get(number, set())
        if all(word in text or (word.isdigit() and word in digits) or named[word] & its for word in words):
            hits[number] = tuple(sorted({part for word in words if word not in text for part in named[word] & its}))
    return _ordered(OrderFound(order, hits[order.number]) for order in books.find(Order, number=[*hits]))


def _ordered(found: Iterable[OrderFound]) -> list[OrderFound]:
    newest = sorted(found, key=lambda one: (one.order.received_at, one.order.number), reverse=True)
    return sorted(newest, key=lambda one: one.order.state in ENDED)


def _only_digits(text: str) -> str:
    return "".join(character for character in text if character.isdigit())
