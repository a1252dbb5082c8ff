"""What every record is: a validated SQLModel whose validator is made when it is first needed.

Making a validator takes longer than reading a record from the shop, and a command uses a few kinds of records of all
there are; so a record's class is cheap until one of it is built or validated (Pydantic documentation, "Configuration",
``defer_build``).

>>> class Tray(Record):
...     pieces: int = Field(ge=0)
>>> Tray(pieces=3).pieces
3
>>> Tray(pieces=-1)
Traceback (most recent call last):
    ...
pydantic_core._pydantic_core.ValidationError: 1 validation error for Tray
pieces
  Input should be greater than or equal to 0 [type=greater_than_equal, input_value=-1, input_type=int]
    ...
"""

from sqlmodel import Field as Field
from sqlmodel import SQLModel
from sqlmodel._compat import SQLModelConfig


class Record(SQLModel):
    """A plain validated record; its table, where it has one, is declared in ``fulfil.store``."""

    model_config = SQLModelConfig(defer_build=True)
