"""What was typed about customers that are forgotten: reasons, answers and notes in the journal and in moves.

A text that the program made (a verdict, its causes) stays; one that a person typed is replaced whole, since nobody can
tell what is in it. Should a program's text quote the customer, the quotation is replaced.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from fulfil.despatch.desk.forgotten_papers import FORGOTTEN
from fulfil.records.despatch.claim import Claim
from fulfil.records.despatch.customs import HazardReview
from fulfil.records.despatch.dispatch import JournalEntry, Package
from fulfil.records.despatch.goods_back import ReturnedPieces
from fulfil.records.despatch.handover import ManifestVoid
from fulfil.records.happening import Happening
from fulfil.records.order import Order
from fulfil.records.pieces import OwedMove, StockMove
from fulfil.records.plan import Bag
from fulfil.records.pulled import PulledBag
from fulfil.store.books import Books

_TYPED = ("address", "answer", "comment", "importer_reference", "notes", "reason", "says", "sender_reference")
"""Particulars that a person typed, whatever the event."""
_JUDGED = (Happening.BAG_CHECKED.value, Happening.PACKAGE_SEALED.value, Happening.PACKAGE_WEIGHED.value)
"""Events whose reason is the verdict's own sentence."""
_NAMES = ("name", "company", "street", "city", "post_code", "phone", "email", "note_picker", "note_packer")
_LEAST = 3
"""Characters of a text that is looked for inside others: a shorter one stands in too many."""


def forget_in_texts(
    books: Books, orders: Sequence[Order], notices: Sequence[str], *, at: datetime, person: str
) -> None:
    """Takes what was typed about these orders, before they are forgotten themselves, and about these returns."""
    numbers = [one.number for one in orders]
    by_order = {"order_number": numbers}
    packages = books.find(Package, **by_order)
    bags = books.find(Bag, **by_order)
    claims = books.find(Claim, **by_order)
    back = books.find(ReturnedPieces, **by_order)
    pulled = books.find(PulledBag, **by_order)
    boxes = [one.number for one in packages]
    subjects = [
        *numbers,
        *notices,
        *boxes,
        *(one.code for one in bags),
        *(one.number for one in claims),
        *(one.number for one in back),
        *sorted({one.manifest_number for one in packages if one.manifest_number}),
    ]
    quoted = sorted({text for one in orders for name in _NAMES if len(text := getattr(one, name)) >= _LEAST})
    quoted.sort(key=len, reverse=True)
    typed = {one.held_reason for one in orders} | {one.reason for one in back} | {one.reason for one in pulled}
    for entry in books.find(JournalEntry, subject=subjects):
        if entry.event not in _JUDGED:
            said = json.loads(entry.particulars)
            typed |= {text for name in _TYPED if isinstance(text := said.get(name), str)}
    typed -= {"", FORGOTTEN}

    def of_entry(row: Mapping[str, Any]) -> dict[str, str]:
        return {"particulars": _without(row["particulars"], row["event"] not in _JUDGED, quoted)}

    def of_move(row: Mapping[str, Any]) -> dict[str, str]:
        is_typed = any(row["reason"] == text[:200] for text in typed)
        return {"reason": FORGOTTEN if is_typed else row["reason"]}

    def whole(_: Mapping[str, Any]) -> dict[str, str]:
        return {"reason": FORGOTTEN}

    books.erase(JournalEntry, {"subject": subjects}, of_entry, at=at, person=person)
    places = [*boxes, *(one.code for one in bags)]
    books.erase(OwedMove, by_order, of_move, at=at, person=person)
    for end in ("from_ref", "to_ref"):
        books.erase(StockMove, {end: places}, of_move, at=at, person=person)
    for kind in (ManifestVoid, HazardReview):
        books.erase(kind, {"package_number": boxes}, whole, at=at, person=person)
    books.erase(ReturnedPieces, by_order, whole, at=at, person=person)


def _without(particulars: str, is_typed: bool, quoted: Sequence[str]) -> str:
    said = json.loads(particulars)
    if is_typed:
        said |= {name: _blank(said[name]) for name in _TYPED if said.get(name)}
    now = _unquoted(said, quoted)
    return particulars if now == json.loads(particulars) else json.dumps(now, sort_keys=True, ensure_ascii=False)


def _blank(value: object) -> object:
    """Lists are told with commas, so one word in a list stands for all of it."""
    return [FORGOTTEN] if isinstance(value, list) else FORGOTTEN


def _unquoted(value: Any, quoted: Sequence[str]) -> Any:
    if isinstance(value, str):
        for text in quoted:
            value = value.replace(text, FORGOTTEN)
        return value
    if isinstance(value, list):
        return [_unquoted(one, quoted) for one in value]
    if isinstance(value, dict):
        return {name: _unquoted(one, quoted) for name, one in value.items()}
    return value
