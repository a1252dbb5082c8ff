"""Refusals: what the library answers when it is used wrongly, as one tree of exceptions.

A refusal's sentence says what was tried, the value in quotes, and what was expected::

    Refusal
    ├── QuantityRefused      a mass, length, money or count that can't be what it says
    ├── CodeRefused          an identifier or bar code that breaks its standard
    ├── RecordRefused        a value that a field of a record can't have
    ├── RoomRefused          a room, bin or stop that can't be walked
    ├── WeighingRefused      a scale, sample or reading that can't be used
    ├── PlanRefused          orders, carts or boxes that no plan can hold
    ├── StateRefused         a step that the order, bag, package or manifest isn't ready for
    ├── UnknownRefused       a number or name that the shop doesn't know
    ├── FileRefused          a file that can't be read as what it should be
    ├── PaperRefused         a paper that can't be printed without losing something
    └── StoreRefused         a database that can't be opened, is locked, damaged or of another version

The sciences' own (:class:`RoomRefused`, :class:`WeighingRefused`, :class:`PlanRefused`) are ``ValueError`` too, and
:class:`UnknownRefused` is a ``LookupError``, so that code that never heard of this library catches them. Those that a
record's own checks raise are not: pydantic would take a ``ValueError`` for its own and bury the sentence.

What the *world* gets wrong (line 17 of a file, a light bag) is no refusal but a finding,
see :mod:`fulfil.records.finding`.

>>> raise QuantityRefused("read pieces", "2,5", "a whole number from 1 to 999999999")
Traceback (most recent call last):
    ...
fulfil.errors.QuantityRefused: Cannot read pieces '2,5': expected a whole number from 1 to 999999999.
"""


class Refusal(Exception):
    """Wrong use, said in one sentence; ``attempted``, ``value`` and ``expected`` hold its parts for programs."""

    def __init__(self, attempted: str, value: object, expected: str) -> None:
        self.attempted = attempted
        self.value = value
        self.expected = expected
        super().__init__(attempted, value, expected)

    def __str__(self) -> str:
        return f"Cannot {self.attempted} '{self.value}': expected {self.expected}."


class QuantityRefused(Refusal):
    """A mass, length, money or count that can't be what it says."""


class CodeRefused(Refusal):
    """An identifier or bar code that breaks its standard."""


class RecordRefused(Refusal):
    """A value that a field of a record can't have."""


class RoomRefused(Refusal, ValueError):
    """A room, bin or stop that can't be walked."""


class WeighingRefused(Refusal, ValueError):
    """A scale, sample or reading that can't be used."""


class PlanRefused(Refusal, ValueError):
    """Orders, carts or boxes that no plan can hold."""


class StateRefused(Refusal):
    """A step that the order, bag, package or manifest isn't ready for."""


class UnknownRefused(Refusal, LookupError):
    """A number or name that the shop doesn't know."""


class FileRefused(Refusal):
    """A file that can't be read as what it should be."""


class PaperRefused(Refusal):
    """A paper that can't be printed without losing something."""


class StoreRefused(Refusal):
    """A database that can't be opened, is locked, damaged or of another version."""
