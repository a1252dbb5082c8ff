"""``fulfil parts``, ``bins``, ``catalogue``, ``goods``, ``shorts``, ``stock``: what there is and what there should be.

Start with ``stock`` or ``parts``; ``part_changing`` and ``bin_changing`` add verbs to ``parts`` and ``bins``. The rules
are in ``fulfil.stock`` and ``fulfil.counting``. Beside the rooms of the library, only ``..frame`` and ``..telling``
may be imported.
"""
