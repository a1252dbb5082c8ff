"""fulfil: order fulfilment for a small-parts component shop, and each of its sciences alone.

============== ===========================================================================================
counting       :func:`count_window`, :func:`largest_count`, :func:`smallest_sample`, :func:`risks_of_limits`
walks          :class:`Block`, :class:`Blocks`, :class:`WalkingGraph`, :func:`shortest_walk`
batching       :func:`plan_batches`, :func:`prove`
a shop         :func:`open_shop`, :func:`read_shop`, :func:`columns_of`
wrong use      :class:`Refusal`, said in one sentence; of the sciences also a ``ValueError``
============== ===========================================================================================

Counting, walks and batching need no database, a shop no command line. Standards (GS1, S10, ISO 3166, CN 22 …) are one
module each in :mod:`fulfil.standards`, papers in :mod:`fulfil.papers`. The names are loaded when first asked for, so
that ``import fulfil`` costs almost nothing. The rooms of the house, which of them may know which, and where to start in
each: DEVELOPERS.md, and the first lines of each folder.

>>> import fulfil
>>> fulfil.largest_count(unit_weight_g=0.9, unit_weight_u_g=0.0013, piece_sd_g=0.009, indication_u_g=0.03)
93
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fulfil.errors import Refusal as Refusal
    from fulfil.planning.batching import plan_batches as plan_batches
    from fulfil.planning.plan import Plan as Plan
    from fulfil.planning.proving.proof import Proof as Proof
    from fulfil.planning.proving.proof import prove as prove
    from fulfil.room.block import Block as Block
    from fulfil.room.blocks import Blocks as Blocks
    from fulfil.room.graph import Corner as Corner
    from fulfil.room.graph import Passage as Passage
    from fulfil.room.graph import WalkingGraph as WalkingGraph
    from fulfil.room.walk import Walk as Walk
    from fulfil.room.walk import shortest_walk as shortest_walk
    from fulfil.shop.frames import ShopFrames as ShopFrames
    from fulfil.shop.frames import columns_of as columns_of
    from fulfil.shop.frames import read_shop as read_shop
    from fulfil.store.shop import Shop as Shop
    from fulfil.store.shop import open_shop as open_shop
    from fulfil.weighing.error_model import ErrorModel as ErrorModel
    from fulfil.weighing.error_model import error_model as error_model
    from fulfil.weighing.limits import risks_of_limits as risks_of_limits
    from fulfil.weighing.sampling import smallest_sample as smallest_sample
    from fulfil.weighing.window import count_window as count_window
    from fulfil.weighing.window import largest_count as largest_count
    from fulfil.weighing.window_types import ArrayWindow as ArrayWindow
    from fulfil.weighing.window_types import SingleWindow as SingleWindow

_HOMES = {
    "ArrayWindow": "fulfil.weighing.window_types",
    "Block": "fulfil.room.block",
    "Blocks": "fulfil.room.blocks",
    "Corner": "fulfil.room.graph",
    "ErrorModel": "fulfil.weighing.error_model",
    "Passage": "fulfil.room.graph",
    "Plan": "fulfil.planning.plan",
    "Proof": "fulfil.planning.proving.proof",
    "Refusal": "fulfil.errors",
    "Shop": "fulfil.store.shop",
    "ShopFrames": "fulfil.shop.frames",
    "SingleWindow": "fulfil.weighing.window_types",
    "Walk": "fulfil.room.walk",
    "WalkingGraph": "fulfil.room.graph",
    "columns_of": "fulfil.shop.frames",
    "count_window": "fulfil.weighing.window",
    "error_model": "fulfil.weighing.error_model",
    "largest_count": "fulfil.weighing.window",
    "open_shop": "fulfil.store.shop",
    "plan_batches": "fulfil.planning.batching",
    "prove": "fulfil.planning.proving.proof",
    "read_shop": "fulfil.shop.frames",
    "risks_of_limits": "fulfil.weighing.limits",
    "shortest_walk": "fulfil.room.walk",
    "smallest_sample": "fulfil.weighing.sampling",
}

__all__ = [*_HOMES]  # pyright: ignore[reportUnsupportedDunderAll]
__version__ = "0.1.0"


if not TYPE_CHECKING:  # a type checker knows the names from above, and that there are no others

    def __getattr__(name: str) -> Any:
        if name in _HOMES:
            return getattr(import_module(_HOMES[name]), name)
        raise AttributeError(f"module 'fulfil' has no attribute '{name}'")


def __dir__() -> list[str]:
    return sorted({*globals(), *_HOMES})
