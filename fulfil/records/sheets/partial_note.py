"""The note to a customer whose order comes in parts: what is sent now, what follows, and when if that is known.

>>> FollowingLine(part_number="GEA-0012", description="Gear", ordered=12, sent=9, to_follow=3).expected
''
"""

from dataclasses import dataclass

from fulfil.records.sheets.document import DocumentSheet


@dataclass(frozen=True, kw_only=True)
class FollowingLine:
    """A line of which pieces follow; ``expected`` is a day in words, or empty."""

    part_number: str
    description: str
    ordered: int
    sent: int
    to_follow: int
    expected: str = ""


@dataclass(frozen=True, kw_only=True)
class PartialNoteSheet(DocumentSheet):
    """The note; ``sentences`` are said before the lines."""

    order_number: str
    from_lines: tuple[str, ...]
    to_lines: tuple[str, ...]
    sentences: tuple[str, ...]
    lines: tuple[FollowingLine, ...]
    contact: str = ""
