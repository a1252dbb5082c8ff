"""What a scale can count, for the bench wall: the largest count by unit weight and scatter of the pieces.

>>> CountingTable(sample_pieces=50, scatters=("0.5 %", "1 %"), rows=(("0.9 g", ("216", "97")),)).rows[0][1][1]
'97'
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class CountingTable:
    """One sample size: a column for each scatter (piece s.d. by unit weight), a row for each unit weight."""

    sample_pieces: int
    scatters: tuple[str, ...]
    rows: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, kw_only=True)
class CountingTableSheet(DocumentSheet):
    """One scale's page; ``plate`` repeats its plate, ``rules`` what holds at the bench."""

    scale: str
    plate: str
    tables: tuple[CountingTable, ...]
    rules: tuple[str, ...]
    risk_statement: str
    cautions: tuple[str, ...] = ()
