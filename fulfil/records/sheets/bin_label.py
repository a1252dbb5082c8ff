"""The bin label: which bin this is, and what belongs into it.

>>> BinLabelSheet(bin_code="A04-L-07-2", part_number="SCR-0316", description="Cap screw M3 x 16",
...               family="cap screw").cautions
()
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class BinLabelSheet:
    """What the label on a bin says; ``cautions`` are a few words each."""

    bin_code: str
    part_number: str
    description: str
    family: str
    size: str = ""
    finish: str = ""
    cautions: tuple[str, ...] = ()
