"""``fulfil orders`` and ``fulfil kits``: what the order desk types.

Start with ``orders``; ``order_files``, ``order_changing`` and ``order_showing`` add verbs to it. The rules are in
``fulfil.orders`` (and, of what must be undone first, ``fulfil.despatch``); a command only calls one step and shows
what it did. Beside the rooms of the library, only ``..frame`` and ``..telling`` may be imported.
"""
