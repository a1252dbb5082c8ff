"""Six plain scripts that use one part of the library each, with a plot; run by the tests and shown in the pages.

``python -m fulfil_demo_catalog.examples.resolve_a_count picture.png`` prints its figures and draws its picture (the
extra ``docs`` brings the plotting library). All figures in them are invented, or drawn from a seed that is named.

**What may be imported.** The library's public doors, NumPy, pandas, matplotlib; the library never imports this.

**Where to start.** :mod:`.resolve_a_count`.
"""
