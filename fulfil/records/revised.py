"""What every record is, and how one is changed: another one with other values, validated like a new one.

A record's validator is made when it is first needed. Making it takes longer than reading a record from the shop, and a
command uses a few kinds of records of all there are (Pydantic documentation, "Configuration", ``defer_build``).

>>> from fulfil.records.tiny import BIN
>>> revised(BIN, {"section": 4}).section
4
>>> revised(BIN, {"section": -1})
Traceback (most recent call last):
    ...
pydantic_core._pydantic_core.ValidationError: 1 validation error for Bin
section
  Input should be greater than or equal to 0 [type=greater_than_equal, input_value=-1, input_type=int]
    ...

Whoever must say so to a person says it by :func:`not_taken`.
"""

from collections.abc import Mapping
from typing import TypeVar

from pydantic import ValidationError
from sqlmodel import SQLModel
from sqlmodel._compat import SQLModelConfig

from fulfil.errors import RecordRefused

R = TypeVar("R", bound=SQLModel)


class Record(SQLModel):
    """A plain validated record; its table, where it has one, is declared in ``fulfil.store``."""

    model_config = SQLModelConfig(defer_build=True)


def revised(record: R, now: Mapping[str, object]) -> R:
    """The record with these values in the place of its own.

    Raises:
        ValidationError: a value is none that the record takes.
    """
    return type(record).model_validate(record.__dict__ | dict(now))


def not_taken(trouble: ValidationError) -> RecordRefused:
    """The refusal of a value that no record takes, in the shop's words; of several, the first.

    >>> from fulfil.records.tiny import BIN
    >>> try:
    ...     revised(BIN, {"section": -1})
    ... except ValidationError as trouble:
    ...     print(not_taken(trouble))
    Cannot use the section '-1': expected greater than or equal to 0.
    """
    error = trouble.errors()[0]
    name = " ".join(str(place) for place in error["loc"]).replace("_", " ") or "values"
    said = error["msg"].removeprefix("Value error, ").removeprefix("Input should be ").removesuffix(".")
    return RecordRefused(
        f"use the {name}", error["input"], "some text" if error["type"].endswith("too_short") else said
    )
