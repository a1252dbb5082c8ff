"""What all tables share: one metadata with named constraints, and columns that follow from the record's own fields.

A record says what a field is; its column says it again only where the database needs more (a key, an index, a
default for rows that were there before). Exact grams, moments and words of a closed list get their column types, and
a word its CHECK, from the record:

>>> from fulfil.records.despatch.claim import Claim
>>> class ClaimExample(Row, Claim, table=True):
...     __tablename__ = "claim_example"
...     number: str = key()
>>> columns = ClaimExample.metadata.tables["claim_example"].c
>>> type(columns.at.type).__name__, type(columns.cause.type).__name__
('Moment', 'Word')
>>> Row.metadata.remove(ClaimExample.metadata.tables["claim_example"])
"""

from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from types import UnionType
from typing import Any, ClassVar, Union, get_args, get_origin

from pydantic import AwareDatetime
from sqlalchemy import MetaData
from sqlmodel import Field, SQLModel
from sqlmodel.main import SQLModelMetaclass

from fulfil.store.columns import NAMING, Micrograms, Moment, Word, one_of

MOST = 999_999_999
"""The largest count that a column takes."""


class _Columns(SQLModelMetaclass):
    """Puts between a record and its table a class with the column types that follow from the record's fields."""

    def __new__(cls, name: str, bases: tuple[type[Any], ...], namespace: dict[str, Any], **config: Any) -> Any:
        """The table class, with the checks of its words."""
        if not config.get("table"):
            return super().__new__(cls, name, bases, namespace, **config)
        fields = {field: info for base in bases for field, info in base.model_fields.items()}
        types = {field: sa_type for field, info in fields.items() if (sa_type := _sa_type(info.annotation)) is not None}
        plain = [field for field in types if field not in namespace]
        between = super().__new__(
            cls,
            f"{name}Columns",
            bases,
            {
                "__module__": namespace["__module__"],
                "model_config": {"defer_build": True},
                "__annotations__": {field: fields[field].annotation for field in plain},
                **{field: Field(sa_type=types[field]) for field in plain},
            },
        )
        words = (one_of(field, sa_type.words) for field, sa_type in types.items() if isinstance(sa_type, Word))
        checks = (*namespace.get("__table_args__", ()), *words)
        known = {"__table_args__": checks, "record": bases[-1] if bases[-1] is not Row else None}
        return super().__new__(cls, name, (between,), namespace | known, **config)


def _sa_type(annotation: Any) -> Any:
    """The column type of a field, or None where the library's own fits."""
    if get_origin(annotation) in (Union, UnionType):
        (annotation,) = (one for one in get_args(annotation) if one is not type(None))
    if not isinstance(annotation, type):
        return None
    if issubclass(annotation, StrEnum):
        return Word(annotation)
    return {Decimal: Micrograms, datetime: Moment, AwareDatetime: Moment}.get(annotation)


class Row(SQLModel, metaclass=_Columns):
    """A table class; rows are written and read as plain records, never as objects of these classes."""

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMING)
    record: ClassVar[type[SQLModel] | None] = None
    """What the table keeps; None where no room sees its rows."""


def key(sa_type: Any = None) -> Any:
    """A column of the primary key; one that is more than a text or a number names its type."""
    return Field(primary_key=True) if sa_type is None else Field(primary_key=True, sa_type=sa_type)


def entry() -> Any:
    """The running number of an append-only table."""
    return Field(default=None, primary_key=True)
