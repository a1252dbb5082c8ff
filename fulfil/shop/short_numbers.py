"""A number given short: last digits, letters of either case. One door for whoever types one.

Tried in this order, and the first that finds something decides:

1. the number itself;
2. the number in letters of the other case; of a package, any of its numbers, however it is written (SSCC, S10, its
   carrier's: :mod:`fulfil.shop.package_numbers`);
3. of our own numbers (letter, day, running number): the running number alone, with or without its letter and its
   zeros: ``35``, ``0035``, ``b35`` for ``B2603020035``;
4. what the number ends in: ``030035``, and ``1001`` for an order ``W-1001``.

Of several, the one that is still in hand is meant (a bag that isn't packed, an order that isn't shipped): yesterday's
bags don't stand in the way of today's. If that leaves several, the answer is a refusal that names them, newest first.

>>> as_said("b35").letter, as_said("b35").digits, as_said("W-1001").digits
('B', '35', '')
"""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlmodel import SQLModel

from fulfil.errors import UnknownRefused
from fulfil.records.bench import Recount, RecountState
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.dispatch import HERE, Manifest, ManifestState, Package
from fulfil.records.despatch.goods_back import ReturnedPieces
from fulfil.records.despatch.service import Service
from fulfil.records.draft import Draft
from fulfil.records.equipment import BagType, BoxType, ScaleRecord
from fulfil.records.order import ENDED, Order
from fulfil.records.part import Part
from fulfil.records.place import Bin
from fulfil.records.plan import Bag, BagState, WalkRecord
from fulfil.records.pulled import PulledBag
from fulfil.records.shorts import Job
from fulfil.shop.package_numbers import packages_by_number
from fulfil.store.books import Books

_OURS = re.compile(r"[A-Z][0-9]{6}(?P<running>[0-9]{4,})")
_SAID = re.compile(r"(?P<letter>[A-Za-z]?)(?P<digits>[0-9]{1,12})")
_LEAST_TAIL = 2
"""Fewer letters of an end than these mean nothing."""
_MOST_NAMED = 5


@dataclass(frozen=True)
class _Kind:
    """A kind of numbered record: its class, its key, and which of several are still in hand."""

    record: type[SQLModel]
    field: str
    is_in_hand: Callable[[Books, Any], bool] = lambda _, __: True


def _is_walked(books: Books, walk: WalkRecord) -> bool:
    """Whether a bag of the walk isn't packed yet."""
    waits = [state for state in BagState if state is not BagState.PACKED]
    return books.count(Bag, walk_number=walk.number, state=waits) > 0


KINDS: Mapping[str, _Kind] = {
    "order": _Kind(Order, "number", lambda _, one: one.state not in ENDED),
    "bag": _Kind(Bag, "code", lambda _, one: one.state is not BagState.PACKED),
    "pulled bag": _Kind(PulledBag, "bag_code", lambda _, one: not one.is_back),
    "walk": _Kind(WalkRecord, "number", _is_walked),
    "package": _Kind(Package, "number", lambda _, one: one.state in HERE),
    "manifest": _Kind(Manifest, "number", lambda _, one: one.state is ManifestState.OPEN),
    "job": _Kind(Job, "number", lambda _, one: not one.is_closed),
    "claim": _Kind(Claim, "number", lambda _, one: not one.is_settled),
    "slip": _Kind(Recount, "number", lambda _, one: one.state is RecountState.OPEN),
    "pieces that came back": _Kind(ReturnedPieces, "number"),
    "draft": _Kind(Draft, "code"),
    "part": _Kind(Part, "number", lambda _, one: not one.is_retired),
    "bin": _Kind(Bin, "code"),
    "scale": _Kind(ScaleRecord, "code", lambda _, one: not one.is_retired),
    "service": _Kind(Service, "code", lambda _, one: not one.is_retired),
    "bag type": _Kind(BagType, "code"),
    "box type": _Kind(BoxType, "code"),
}
"""What has a number, by the word that people say."""
_WHOLE = ("part", "bin", "scale", "service", "bag type", "box type")
"""Kinds whose codes the shop made up itself: never guessed from an end, which may be a size."""


@dataclass(frozen=True)
class Said:
    """What was typed: a letter and digits where it is such a number."""

    text: str
    letter: str = ""
    digits: str = ""


def as_said(text: str) -> Said:
    """The text, taken apart."""
    found = _SAID.fullmatch(text.strip())
    return Said(text.strip(), found["letter"].upper(), found["digits"]) if found else Said(text.strip())


def full_number(books: Books, kind: str, text: str) -> str:
    """The number that is meant; the text itself where the shop has none, so that the step itself refuses it.

    Raises:
        UnknownRefused: it may mean several, which are named.
    """
    found = candidates(books, kind, text)
    return _the_one(kind, text, found) if found else text.strip()


def number_at_bench(books: Books, text: str, kinds: Sequence[str]) -> str:
    """The number that is meant at a bench, of the first of these kinds that has it; else the text itself.

    Whole numbers of any kind come before short ones. An end of more digits than a running number is nothing here: it
    may be a label that was scanned by half.

    Raises:
        UnknownRefused: it may mean several, which are named.
    """
    for kind in kinds:
        if (number := _itself(books, KINDS[kind], text)) is not None:
            return number
    if as_said(text).digits:
        for kind in kinds:
            found = _running(books, KINDS[kind], as_said(text))
            if found:
                return _the_one(kind, text, found)
    return text


def candidates(books: Books, kind: str, text: str) -> list[str]:
    """The numbers that may be meant, newest first: one where it is clear, none where the shop has no such number."""
    about, said = KINDS[kind], as_said(text)
    if not said.text:
        return []
    itself = _itself(books, about, said.text)
    if itself is not None or kind in _WHOLE:
        return [] if itself is None else [itself]
    running = _running(books, about, said)
    if running or len(said.text) < _LEAST_TAIL:
        return running
    return _in_hand(books, about, books.keys_ending(about.record, about.field, said.text))


def _itself(books: Books, about: _Kind, text: str) -> str | None:
    """The number as it was typed, else the only one that is the same in letters of the other case."""
    get: Any = books.get
    if get(about.record, text) is not None:
        return text
    if about.record is Package and (number := packages_by_number(books, [text]).get(text)):
        return number
    ends = books.keys_ending(about.record, about.field, text) if text else []
    same = [number for number in ends if number.casefold() == text.casefold()]
    return same[0] if len(same) == 1 else None


def _running(books: Books, about: _Kind, said: Said) -> list[str]:
    """Our own numbers with this running number (and letter, where one was typed)."""
    if not said.digits:
        return []
    ends = books.keys_ending(about.record, about.field, said.digits.lstrip("0") or "0")
    found = [(number, ours["running"]) for number in ends if (ours := _OURS.fullmatch(number))]
    same = [number for number, running in found if int(running) == int(said.digits)]
    return _in_hand(books, about, [number for number in same if said.letter in ("", number[0])])


def _in_hand(books: Books, about: _Kind, numbers: Sequence[str]) -> list[str]:
    """Those still in hand, else all of them; newest first."""
    if len(numbers) < 2:
        return [*numbers]
    newest = sorted(numbers, reverse=True)
    records: Any = books.find(about.record, **{about.field: newest})
    still = {getattr(one, about.field) for one in records if about.is_in_hand(books, one)}
    return [number for number in newest if number in still] or newest


def _the_one(kind: str, text: str, found: Sequence[str]) -> str:
    if len(found) == 1:
        return found[0]
    more = f" and {len(found) - _MOST_NAMED} more" if len(found) > _MOST_NAMED else ""
    named = ", ".join(found[:_MOST_NAMED]) + more
    raise UnknownRefused(f"tell which {kind} is", text, f"more of its number; it may be {named}")
