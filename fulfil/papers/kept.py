"""Sheets that are kept as JSON, to be printed again years later: each with the version of its shape.

When a sheet's class changes, its kept shape gets one more step, from the shape before to the new one; a sheet of any
older version is brought up step by step. What was kept before versions were written counts as version 0.

>>> from pydantic.dataclasses import dataclass
>>> @dataclass(frozen=True)
... class Note:
...     words: str
>>> shape = KeptShape(Note, steps=(lambda told: told, lambda told: {"words": told["text"]}))
>>> shape.json(Note("two bags"))
'{"version": 2, "content": {"words": "two bags"}}'
>>> shape.sheet('{"text": "kept by the first release"}').words
'kept by the first release'

Limits: a version that is newer than this release knows is refused, never guessed at.
"""

import json
from collections.abc import Callable, Sequence
from typing import Any, Generic, TypeVar

from pydantic import TypeAdapter

from fulfil.errors import PaperRefused

K = TypeVar("K")


class KeptShape(Generic[K]):
    """How sheets of one kind are kept: the kind, and a step for each version of its shape."""

    def __init__(self, kind: type[K], *, steps: Sequence[Callable[[Any], Any]]) -> None:
        self._adapter = TypeAdapter(kind)
        self._steps = tuple(steps)

    @property
    def version(self) -> int:
        """The version of what is kept now."""
        return len(self._steps)

    def json(self, sheet: K) -> str:
        """The sheet as it is kept."""
        content = self._adapter.dump_python(sheet, mode="json")
        return json.dumps({"version": self.version, "content": content}, ensure_ascii=False)

    def sheet(self, text: str) -> K:
        """The sheet that was kept, by this release or any before.

        Raises:
            PaperRefused: a newer release kept it.
        """
        told: Any = json.loads(text)
        version = 0
        if isinstance(told, dict) and told.keys() == {"version", "content"}:
            version, told = told["version"], told["content"]
        if version > self.version:
            raise PaperRefused("print a kept paper of version", version, f"version {self.version} or older")
        for step in self._steps[version:]:
            told = step(told)
        return self._adapter.validate_python(told)


def as_it_was(told: Any) -> Any:
    """The step from version 0 to 1: only the version is new."""
    return told
