"""What all tables share: one metadata with named constraints, and columns that follow from the record's own fields.

A record says what a field is; its column says it again only where the database needs more (a key, an index, a
default for rows that were there before). Exact grams, moments and words of a closed list get their column types, and
a word its CHECK, from the record:

>>> from fulfil.records.despatch.claim import Claim
>>> class ClaimExample(Row, Claim, table=True):
...     __tablename__ = "claim_example"
...     number: str = key()
>>> columns = ClaimExample.__table__.c
>>> type(columns.at.type).__name__, type(columns.cause.type).__name__
('Moment', 'Word')
>>> Row.metadata.remove(ClaimExample.__table__)
"""

from datetime import datetime
from decimal import Decimal
from enum import StrEnum
from threading import RLock
from types import UnionType
from typing import Any, ClassVar, Union, get_args, get_origin

from pydantic import AwareDatetime
from pydantic.fields import FieldInfo
from sqlalchemy import Column, MetaData, Table
from sqlmodel import Field, SQLModel
from sqlmodel.main import SQLModelMetaclass, get_column_from_field

from fulfil.store.columns import NAMING, Micrograms, Moment, Word, one_of

MOST = 999_999_999
"""The largest count that a column takes."""
_MAKING = RLock()
"""A table is made once, whichever thread asks first."""


class _Columns(SQLModelMetaclass):
    """Makes a class that declares a table a plain one, which makes the table when it is first asked for.

    Rows come and go as records, so nobody needs validators and mappers of the class; and a small command needs few of
    all tables. Making everything for all of them took longer than all the rest of it.
    """

    def __new__(cls, name: str, bases: tuple[type[Any], ...], namespace: dict[str, Any], **config: Any) -> Any:
        """The class that holds its table."""
        if not config.get("table"):
            return super().__new__(cls, name, bases, namespace, **config)
        record = next((base for base in bases if base is not Row), None)
        known = {"__doc__": namespace.get("__doc__"), "__module__": namespace["__module__"], "record": record}
        kept = {"name": namespace["__tablename__"], "__table__": _Table(record, namespace)}
        return type(name, (Kept,), known | kept)


class _Table:
    """The table of a class that declares one, made of the fields as SQLModel makes columns of them, once."""

    def __init__(self, record: type[SQLModel] | None, namespace: dict[str, Any]) -> None:
        self._record: Any = record
        self._namespace = namespace
        self._made: Table | None = None
        self._is_complete = False

    def __get__(self, _kept: object, _kind: type) -> Table:
        return self.table

    @property
    def table(self) -> Table:
        """The table, made when first asked for."""
        with _MAKING:
            if self._made is None:
                self._made = self._make()
            return self._made

    def _make(self) -> Table:
        """The table, with the checks of its words."""
        record, namespace = self._record, self._namespace
        fields = dict(record.model_fields) if record is not None else {}
        types = {field: sa_type for field, info in fields.items() if (sa_type := _sa_type(info.annotation)) is not None}
        fields |= {
            field: FieldInfo.from_annotated_attribute(fields[field].annotation, Field(sa_type=sa_type))
            for field, sa_type in types.items()
        }
        fields |= {
            field: FieldInfo.from_annotated_attribute(annotation, namespace[field])
            if field in namespace
            else FieldInfo.from_annotation(annotation)
            for field, annotation in namespace.get("__annotations__", {}).items()
        }
        columns: list[Column[Any]] = []
        for field, info in fields.items():
            column = get_column_from_field(info)
            column.name = column.key = field
            columns.append(column)
        words = [one_of(field, sa_type.words) for field, sa_type in types.items() if isinstance(sa_type, Word)]
        args = [one for one in namespace.get("__table_args__", ()) if not callable(one)]
        return Table(namespace["__tablename__"], Row.metadata, *columns, *args, *words)

    def complete(self) -> None:
        """Adds what only the schema needs, once."""
        with _MAKING:
            table, late = self.table, () if self._is_complete else self._namespace.get("__table_args__", ())
            self._is_complete = True
            for one in late:
                if callable(one):
                    one(table)


def _sa_type(annotation: Any) -> Any:
    """The column type of a field, or None where the library's own fits."""
    if get_origin(annotation) in (Union, UnionType):
        (annotation,) = (one for one in get_args(annotation) if one is not type(None))
    if not isinstance(annotation, type):
        return None
    if issubclass(annotation, StrEnum):
        return Word(annotation)
    return {Decimal: Micrograms, datetime: Moment, AwareDatetime: Moment}.get(annotation)


class Kept:
    """What a class that declares a table is in the end."""

    __table__: ClassVar[Table]
    name: ClassVar[str]
    """Of the table."""

    @classmethod
    def complete(cls) -> None:
        """Adds what only the schema needs."""
        vars(cls)["__table__"].complete()

    record: ClassVar[type[SQLModel] | None] = None
    """What the table keeps; None where no room sees its rows."""


class Row(SQLModel, metaclass=_Columns):
    """Declares a table: the columns are the record's fields, but for those that the class declares itself.

    A function in ``__table_args__`` adds to the table what only its schema needs (``all_tables`` of
    :mod:`fulfil.store.tables` calls it): a partial index, for which SQLAlchemy loads every driver of PostgreSQL.
    """

    metadata: ClassVar[MetaData] = MetaData(naming_convention=NAMING)


def key(sa_type: Any = None) -> Any:
    """A column of the primary key; one that is more than a text or a number names its type."""
    return Field(primary_key=True) if sa_type is None else Field(primary_key=True, sa_type=sa_type)


def entry() -> Any:
    """The running number of an append-only table."""
    return Field(default=None, primary_key=True)
