"""Column types that keep a record's values exactly, on SQLite and PostgreSQL alike.

A ``Decimal`` column would become a binary fraction on SQLite, a date with an offset would lose it, and an enum would be
stored by its Python name. So grams are stored as whole micrograms, moments as UTC, closed words as their text.

>>> Micrograms().process_bind_param(Decimal("18.30"), None)
18300000
>>> Micrograms().process_result_value(18300000, None)
Decimal('18.3')
>>> Micrograms().process_bind_param(Decimal("0.0000001"), None)
Traceback (most recent call last):
    ...
fulfil.errors.QuantityRefused: Cannot store a mass in grams '1E-7': expected at most 6 decimals, below 9000000 kg.

Limits: the value of a mass comes back exactly, its trailing zeros don't (18.30 comes back as 18.3); whoever prints an
indication rounds to the scale's own interval.
"""

from datetime import UTC, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any

from sqlalchemy import BigInteger, CheckConstraint, DateTime, String
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator

from fulfil.errors import QuantityRefused

_MOST_MICROGRAMS = 9 * 10**15


class Micrograms(TypeDecorator[Decimal]):
    """Exact grams as whole micrograms."""

    impl = BigInteger
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect | None) -> int | None:  # noqa: D102
        if value is None:
            return None
        micrograms = Decimal(value).scaleb(6)
        if micrograms != micrograms.to_integral_value() or abs(micrograms) > _MOST_MICROGRAMS:
            raise QuantityRefused("store a mass in grams", value, "at most 6 decimals, below 9000000 kg")
        return int(micrograms)

    def process_result_value(self, value: int | None, dialect: Dialect | None) -> Decimal | None:  # noqa: D102
        if value is None:
            return None
        whole, rest = divmod(value, 1_000_000)
        return Decimal(whole) if rest == 0 else Decimal(value).scaleb(-6).normalize()


class Moment(TypeDecorator[datetime]):
    """A point in time, stored in UTC without an offset, given back in UTC with one."""

    impl = DateTime
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect | None) -> datetime | None:  # noqa: D102
        if value is None:
            return None
        if value.tzinfo is None:
            raise QuantityRefused("store a time", value.isoformat(), "a time with its offset from UTC")
        return value.astimezone(UTC).replace(tzinfo=None)

    def process_result_value(self, value: datetime | None, dialect: Dialect | None) -> datetime | None:  # noqa: D102
        return None if value is None else value.replace(tzinfo=UTC)


class Word(TypeDecorator[StrEnum]):
    """A word of a closed list, stored as its text."""

    impl = String(20)
    cache_ok = True

    def __init__(self, words: type[StrEnum]) -> None:
        super().__init__()
        self.words = words
        self._by_text = {word.value: word for word in words}
        self._texts = {word.value: word.value for word in words}

    def process_bind_param(self, value: StrEnum | None, dialect: Dialect | None) -> str | None:  # noqa: D102
        if value is None:
            return None
        if value not in self._texts:
            raise QuantityRefused("store the word", value, f"one of {', '.join(self._texts)}")
        return self._texts[value]

    def process_result_value(self, value: str | None, dialect: Dialect | None) -> StrEnum | None:  # noqa: D102
        return None if value is None else self._by_text[value]


def check(name: str, condition: str) -> CheckConstraint:
    """A named CHECK; the naming convention puts the table's name before it."""
    return CheckConstraint(condition, name=name)


def one_of(column: str, words: type[StrEnum]) -> CheckConstraint:
    """A CHECK that a column holds a word of the list."""
    listed = ", ".join(f"'{word.value}'" for word in words)
    return check(f"{column}_word", f"{column} IN ({listed})")


def whole(column: str, least: int, most: int) -> CheckConstraint:
    """A CHECK for whole numbers; the upper limit also keeps text out, which SQLite sorts above every number."""
    return check(f"{column}_range", f"{column} BETWEEN {least} AND {most}")


def above_zero(*columns: str) -> tuple[CheckConstraint, ...]:
    """A CHECK per column that it is above zero and a number."""
    return tuple(check(f"{column}_above_zero", f"{column} > 0 AND {column} < 1e18") for column in columns)


def not_negative(*columns: str) -> tuple[CheckConstraint, ...]:
    """A CHECK per column that it is zero or above and a number."""
    return tuple(check(f"{column}_not_negative", f"{column} >= 0 AND {column} < 1e18") for column in columns)


NAMING: dict[str, Any] = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s",
    "pk": "pk_%(table_name)s",
}
"""Names of constraints, so that a later migration can find them."""
