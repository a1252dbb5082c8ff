"""Which boxes an order's bags go into: the fewest and smallest that hold them, or the best found and how far it may be.

Start with :mod:`fulfil.planning.boxes.cartons`, the door: volumes, masses and boxes in, a choice out.
:mod:`~fulfil.planning.boxes.box_search` looks for it, :mod:`~fulfil.planning.boxes.box_bounds` says below what no
choice can go.

May be imported here: ``fulfil.errors`` and ``fulfil.quantities``; nothing of walks or carts.
"""
