"""The stations: pages in a browser for the check bench, the packing bench and the wall.

The row beside ``cli``: a page parses what came from a tablet, calls one door of a room below, and shows what it said;
no rule of the shop is written here. Begin with :func:`fulfil.stations.server.make_server`; :mod:`fulfil.stations.house`
holds what all pages share, :mod:`fulfil.stations.guard` what is asked of every request, and each page stands in a
module of its name, its words and drawings beside it. Time and chance come in from the command that opens the pages.

Nothing comes from outside the shop: style and script are two small files of our own, and a page works without script.
"""
