"""Walks as tours of stops, for floors that are too tangled to sweep: found by search, measured against a bound.

Start with :mod:`fulfil.room.touring.tour`, the door: few stops go to :mod:`~fulfil.room.touring.held_karp` (exact),
more to :mod:`~fulfil.room.touring.tour_search`; :mod:`~fulfil.room.touring.tour_bound` says how short a tour can be at
best, and :mod:`~fulfil.room.touring.tour_proof` closes the gap where it can, so that a walk says whether it is proven.

May be imported here: ``fulfil.room.network``, ``route`` and ``walk``, ``fulfil.errors``.
"""
