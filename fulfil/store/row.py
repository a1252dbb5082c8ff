"""What all tables share: one metadata with named constraints, and short words for columns."""

from typing import Any, ClassVar

from sqlalchemy import MetaData
from sqlmodel import Field, SQLModel

from fulfil.store.columns import NAMING, Micrograms, Moment, Word

MOST = 999_999_999
"""The largest count that a column takes."""


class Row(SQLModel):
    """A table class; rows are written and read as plain records, never as objects of these classes."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMING)


def key() -> Any:
    """A column of the primary key."""
    return Field(primary_key=True)


def entry() -> Any:
    """The running number of an append-only table."""
    return Field(default=None, primary_key=True)


def grams() -> Any:
    """Exact grams."""
    return Field(sa_type=Micrograms)


def moment() -> Any:
    """A point in time."""
    return Field(sa_type=Moment)


def word(words: Any) -> Any:
    """A word of a closed list."""
    return Field(sa_type=Word(words))
