"""Change a record: the same one with other values, validated like a new one.

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
"""

from collections.abc import Mapping
from typing import TypeVar

from sqlmodel import SQLModel

R = TypeVar("R", bound=SQLModel)


def revised(record: R, now: Mapping[str, object]) -> R:
    """The record with these values in the place of its own.

    Raises:
        ValidationError: a value is none that the record takes.
    """
    return type(record).model_validate(record.__dict__ | dict(now))
