"""Published tables of fasteners as CSV files; the first line of each, after ``#``, says where its numbers come from.

>>> read("special_nuts.csv")[0]
{'standard': 'DIN 985', 'thread': 'M4', 'listed_g': '1.0'}
>>> source("special_nuts.csv")
'Prevailing torque nuts (DIN 985) and slotted nuts (DIN 935); weights from public trade tables, not from the standards.'
"""

from fulfil.standards import tables


def read(name: str) -> tuple[dict[str, str], ...]:
    """The rows of the table in file `name`, in the file's order."""
    return tables.read(name, __name__)


def source(name: str) -> str:
    """Where the numbers of the table in file `name` come from, as its first line says."""
    return tables.source(name, __name__)
