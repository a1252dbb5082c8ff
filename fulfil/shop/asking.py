"""How a paper is asked for: by the number of what it is about, or by its name. Each maker says it beside its sheets.

The paper's own declaration (:mod:`fulfil.papers.kind`) says how its number follows from a record's; what is said here
is which record that is, and who makes the sheets. :mod:`fulfil.documents` asks all of them in turn, with the time
of asking on the shop's own clock.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Generic, Protocol, TypeVar

from fulfil.papers.numbering import After
from fulfil.papers.registry import paper_of
from fulfil.papers.sheet import Sheet
from fulfil.store.books import Books
from fulfil.store.shop import Shop

RecordT = TypeVar("RecordT")


class Finder(Protocol):
    """Finds the sheets that a number means."""

    def find(self, books: Books, number: str, at: datetime) -> Sequence[Sheet]:
        """The sheets; none where the number means something else."""
        ...


@dataclass(frozen=True)
class ByNumber(Generic[RecordT]):
    """A paper that is about one record.

    Attributes:
        sheet: the paper's.
        record: the class of what it is about.
        make: its sheets; raises StateRefused where there is no such paper of this record.
        after: how the number follows from the record's; None: as the paper itself says.
        get: how the record is found; None: by its key.
    """

    sheet: type[Sheet]
    record: type[RecordT]
    make: Callable[[Books, RecordT, datetime], Sequence[Sheet]]
    after: After | None = None
    get: Callable[[Books, str], RecordT | None] | None = None

    def find(self, books: Books, number: str, at: datetime) -> Sequence[Sheet]:
        """The sheets of the record that the number means; none where there is none."""
        after = self.after or paper_of(self.sheet).numbered
        key = after.key(number) if isinstance(after, After) else None
        if key is None:
            return ()
        record = self._record(books, key)
        return () if record is None else self.make(books, record, at)

    def _record(self, books: Books, key: str) -> RecordT | None:
        get: Any = books.get
        found: RecordT | None = get(self.record, key) if self.get is None else self.get(books, key)
        return found


@dataclass(frozen=True)
class ByName:
    """A paper of the whole shop or of one of its days, asked for by the name of its files."""

    sheet: type[Sheet]
    make: Callable[[Shop, datetime], Sequence[Sheet]]


def from_books(sheet: type[Sheet], make: Callable[[Books, datetime], Sequence[Sheet]]) -> ByName:
    """A paper that one reading of the books makes."""

    def made(shop: Shop, at: datetime) -> Sequence[Sheet]:
        with shop.reading() as books:
            return make(books, at)

    return ByName(sheet, made)
