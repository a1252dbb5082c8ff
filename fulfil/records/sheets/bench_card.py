"""Cards for the bench: commands, cart positions, badges, each a bar code that types its text.

>>> BenchCardSheet(code="*UNDO", title="undo", says="take the last verdict back").title
'undo'
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class BenchCardSheet:
    """One card: what the bar code types, what it is called, what it does; ``shop_name`` stands on badges."""

    code: str
    title: str
    says: str = ""
    shop_name: str = ""
