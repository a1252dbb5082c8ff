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
"""

from collections.abc import Mapping
from typing import TypeVar

from sqlmodel import SQLModel
from sqlmodel._compat import SQLModelConfig

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
