"""The room: floor plans, distances, exact walks and the geometry of the route map.

Start with :mod:`fulfil.room.walk` (what a walk is) and :mod:`fulfil.room.block` (one block, exact and fast);
:mod:`fulfil.room.blocks` and :mod:`fulfil.room.graph` are other floors, both upon :mod:`fulfil.room.network`.
``sweeping`` walks them exactly, ``touring`` where a sweep would be too wide. ``policies`` and ``rules_of_thumb`` are
what people do without a computer, to compare with; ``time_model`` turns metres into minutes.

Pure: whole millimetres in, whole millimetres out; no database, no drawing library, no clock.
"""
