"""``fulfil walks`` and ``fulfil room``: walks planned, proven, released and timed; the floor checked and drawn.

Start with ``walks``; ``walk_times`` adds the verbs about minutes and people. The rules are in ``fulfil.walks``. Beside
the rooms of the library, only ``..frame`` and ``..telling`` may be imported.
"""
