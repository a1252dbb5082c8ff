"""Answers of conversations that have no result yet: kept with each answer, taken up again at any station, or dropped.

A keyed order has a number of its own (``K``); the first evening of a shop is one, ``START``.
"""

import json
from collections.abc import Mapping
from datetime import datetime

from fulfil.records.draft import Draft
from fulfil.shop.numbers import next_code_at
from fulfil.store.shop import Shop

START = "START"
"""The draft of the first evening."""


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
    """All keyed orders that are not in yet, the oldest first."""
    with shop.reading() as books:
        return [one for one in books.find(Draft) if one.code != START]


def drop_draft(shop: Shop, code: str) -> Draft:
    """Forgets a draft.

    Raises:
        UnknownRefused: there is no such draft.
    """
    with shop.writing() as books:
        draft = books.need(Draft, code)
        books.remove(Draft, code=code)
    return draft
