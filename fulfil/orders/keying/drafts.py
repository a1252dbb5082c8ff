"""Keyed orders that are not in yet: kept with every answer, taken up again at any station, taken in or dropped."""

import json
from collections.abc import Mapping
from datetime import datetime

from fulfil.orders.importing import add_order
from fulfil.orders.keying.questions import Keyed
from fulfil.records.draft import Draft
from fulfil.records.finding import Finding
from fulfil.records.order import Order, OrderLine
from fulfil.shop.numbers import next_code_at
from fulfil.store.shop import Shop


def keep_draft(shop: Shop, code: str, answers: Mapping[str, str], *, source: str, at: datetime, person: str) -> Draft:
    """Keeps the answers under the draft's code; without one under a new code.

    Raises:
        StoreRefused: the shop can't be written; what was kept before stays.
    """
    with shop.writing() as books:
        draft = Draft(
            code=code or next_code_at(books, "K", at),
            source=source,
            answers_json=json.dumps(dict(answers), ensure_ascii=False),
            at=at,
            person=person,
        )
        books.replace([draft])
    return draft


def drafts(shop: Shop) -> list[Draft]:
    """All drafts, the oldest first."""
    with shop.reading() as books:
        return books.find(Draft)


def drop_draft(shop: Shop, code: str) -> Draft:
    """Forgets a draft.

    Raises:
        UnknownRefused: there is no such draft.
    """
    with shop.writing() as books:
        draft = books.need(Draft, code)
        books.remove(Draft, code=code)
    return draft


def take_in(
    shop: Shop, keyed: Keyed, *, number: str, source: str, code: str, at: datetime, person: str
) -> tuple[str, list[Finding]]:
    """Takes the keyed order in and forgets its draft; gives its number, and findings where it wasn't taken.

    Raises:
        StoreRefused: the shop can't be written; the draft stays.
    """
    with shop.writing() as books:
        currency = books.settings().currency
        number = number or next_code_at(books, "T", at)
    order = Order.model_validate(
        {**keyed.values, "number": number, "source": source, "received_at": at, "currency": currency}
    )
    lines = [
        OrderLine(
            order_number=number,
            line_no=line_no,
            part_number=line.found.part.number,
            pieces=line.pieces,
            unit_price_minor=line.found.part.price_minor,
        )
        for line_no, line in enumerate(keyed.lines, start=1)
    ]
    findings = add_order(shop, order, lines, at=at, person=person)
    if not findings and code:
        with shop.writing() as books:
            books.remove(Draft, code=code)
    return number, findings
