"""What a step that meets an exception of the day says: who must do what, in sentences, before and after it is done.

>>> print(*Told(("Leave bag B2603020001 empty.", "Print walk W2603020004: fulfil walks release W2603020004.")).tells)
Leave bag B2603020001 empty. Print walk W2603020004: fulfil walks release W2603020004.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Told:
    """Sentences for the people who must act, in the order in which they act; the walks and order it is about."""

    tells: tuple[str, ...]
    walks: tuple[str, ...] = ()
    order_number: str = ""
