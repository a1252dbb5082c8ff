"""Fewest carts: fill one cart after the other as full as it gets, to begin where savings leave carts half empty.

The largest order left opens a cart; the others that fill it best are found by adding up weights (subset sums by dynamic
programming: Martello & Toth 1990, *Knapsack Problems*, chapter 4). Every cart filled this way leaves easier orders for
the next (minimum bin slack: Gupta & Ho 1999, *A new heuristic algorithm for the one-dimensional bin-packing
problem*, Production Planning & Control 10(6):598-603, doi 10.1080/095372899232894).

>>> import numpy as np
>>> from fulfil.planning.cart import CartLoads
>>> filled(CartLoads.of(6, 10, [6, 5, 5, 4, 3, 7])).tolist()
[1, 2, 2, 1, 0, 0]

Limits: one kind of capacity; walks play no part; at most :data:`MOST_SUMS` different sums are kept.
"""

import numpy as np
from numpy.typing import NDArray

from fulfil.planning.cart import CartLoads

MOST_SUMS = 5000


def filled(loads: CartLoads) -> NDArray[np.int64]:
    """The cart of each order, numbered as they are filled; equal weights by place.

    Args:
        loads: Loads of one kind.
    """
    weight = [int(row[0]) for row in loads.load]
    capacity = int(loads.capacity[0])
    waiting = sorted(range(len(weight)), key=lambda order: (-weight[order], order))
    cart_of = np.empty(len(weight), dtype=np.int64)
    cart = 0
    while waiting:
        free = capacity - weight[waiting[0]]
        orders_of_sum: dict[int, tuple[int, ...]] = {0: ()}
        for order in waiting[1:]:
            for total in sorted(orders_of_sum, reverse=True):
                more = total + weight[order]
                if more <= free and more not in orders_of_sum and len(orders_of_sum) < MOST_SUMS:
                    orders_of_sum[more] = (*orders_of_sum[total], order)
            if free in orders_of_sum:
                break
        chosen = (waiting[0], *orders_of_sum[max(orders_of_sum)])
        cart_of[list(chosen)] = cart
        waiting = [order for order in waiting if order not in chosen]
        cart += 1
    return cart_of
