"""What the invented demo shop is made of: parts, room, stock, tariffs, customers, orders; all of it invented.

Start with ``catalogue`` (the parts; ``parts_…`` hold a trade's families each, ``kinds`` what they share), ``rooms`` and
``stock`` (where they lie), ``orders`` (who wants what; ``people``, ``lands``). Chance comes from ``chance``, which has
the one fixed seed. ``python -m fulfil_demo_catalog.generate`` writes the files.

May be imported here: ``fulfil.standards``, ``fulfil.quantities``, ``fulfil.records``; never the shop's rooms.
"""
