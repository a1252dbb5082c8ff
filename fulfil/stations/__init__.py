"""The stations: pages in a browser for the benches, the cart, the desk, the make-room and the wall; scales that send.

The row beside ``cli``: a page parses what came from a tablet, calls one door of a room below, and shows what it said;
no rule of the shop is written here. Begin with :func:`fulfil.stations.server.make_server`; :mod:`fulfil.stations.house`
holds what all pages share, :mod:`fulfil.stations.guard` what is asked of every request, and each page stands in a
module of its name, its words and drawings beside it (``cart`` and ``desk`` are folders). Time and chance come in from
the command that opens the pages.

Nothing comes from outside the shop: style and scripts are small files of our own, and a page works without script.
"""
