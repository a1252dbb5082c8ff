"""Which scales may stand at a bench.

>>> from fulfil.records.bench import StationKind
>>> is_for("packages", StationKind.PACK), is_for("packages", StationKind.CHECK)
(True, False)
"""

from fulfil.records.bench import StationKind
from fulfil.records.equipment import ScaleRecord
from fulfil.store.books import Books

_FOR_PACKAGES = "packages"


def is_for(use: str, kind: StationKind) -> bool:
    """Whether a scale of this use is for this kind of bench: those for packages at packing benches only."""
    return (use == _FOR_PACKAGES) is (kind is StationKind.PACK)


def scales_at(books: Books, kind: StationKind) -> tuple[str, ...]:
    """The codes of the scales in use that may stand at a bench of this kind."""
    return tuple(one.code for one in books.find(ScaleRecord) if not one.is_retired and is_for(one.use, kind))
