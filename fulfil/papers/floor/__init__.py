"""The floor from above: the map of a walk, the drawing of a room, for paper, screen and file.

**What lives here.** The map as a sheet of plain millimetres (:mod:`~fulfil.papers.floor.route_map`), its drawing and
the parts of that (the walked line, the numbers beside it, the passages of an odd room), its words for those who can't
see it, and the paper that shows a room on a page of its own (:mod:`~fulfil.papers.floor.room`). There is one drawing of
the floor: on paper and as a PNG picture it is stretched to its frame, as an SVG file it is to scale.

**What may be imported.** The rest of :mod:`fulfil.papers`, records. How a room is laid out and walked is known by
:mod:`fulfil.room`; ``fulfil.walks.room_sheet`` turns its floor into a map.

**Where to start.** :mod:`~fulfil.papers.floor.drawing`; the front of the room is at the lower edge.
"""
