"""Answers that were typed and are not in the shop yet: an order half keyed, kept until it is taken in or dropped.

>>> draft = Draft(code="K2603020001", answers_json='{"name": "Ann"}', at="2026-03-02T08:00:00Z", person="ann")
>>> draft.answers
{'name': 'Ann'}
"""

import json

from pydantic import AwareDatetime

from fulfil.records.revised import Record
from fulfil.records.text import Code, Line, Text


class Draft(Record):
    """One draft: the answers as typed, in the order of their questions; who keyed it last, and when."""

    code: Code
    source: Line = ""
    answers_json: Text = "{}"
    at: AwareDatetime
    person: Code

    @property
    def answers(self) -> dict[str, str]:
        """The answers by the keys of their questions."""
        return dict(json.loads(self.answers_json))
