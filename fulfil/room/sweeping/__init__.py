"""Exact walks in rooms with any number of cross aisles: a sweep over the floor's network, state by state.

Start with :mod:`fulfil.room.sweeping.sweep`: it prepares a floor once; :mod:`~fulfil.room.sweeping.sweep_walks` then
measures and draws walks on it, quickly and often. :mod:`~fulfil.room.sweeping.sweep_order` chooses the order in which
the crossings are passed, :mod:`~fulfil.room.sweeping.sweep_states` numbers what is still open at the front, and
:mod:`~fulfil.room.sweeping.tree_walks` is the short way for floors without a circle.

May be imported here: ``fulfil.room.network``, ``route``, ``kernel`` and ``walk``, ``fulfil.errors``.
"""
