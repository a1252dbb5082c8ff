"""fulfil: order fulfilment for a small-parts component shop.

The public names are loaded when first asked for, so that ``import fulfil`` costs almost nothing. The rooms of the
house, which of them may know which, and where to start in each: DEVELOPERS.md, and the first lines of each folder.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fulfil.planning.batching import plan_batches
    from fulfil.planning.proving.proof import prove
    from fulfil.room.block import Block
    from fulfil.room.walk import shortest_walk
    from fulfil.weighing.window import count_window, largest_count

_HOMES = {
    "Block": "fulfil.room.block",
    "count_window": "fulfil.weighing.window",
    "largest_count": "fulfil.weighing.window",
    "plan_batches": "fulfil.planning.batching",
    "prove": "fulfil.planning.proving.proof",
    "shortest_walk": "fulfil.room.walk",
}

__all__ = ["Block", "count_window", "largest_count", "plan_batches", "prove", "shortest_walk"]
__version__ = "0.1.0"


def __getattr__(name: str) -> Any:
    if name in _HOMES:
        return getattr(import_module(_HOMES[name]), name)
    raise AttributeError(f"module 'fulfil' has no attribute '{name}'")
