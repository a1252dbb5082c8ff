"""``fulfil packages``, ``manifests``, ``services``, ``customs``, ``claims``: from the box to the carrier's bill.

Start with ``packages`` and ``manifests``. The rules are in ``fulfil.despatch``. Beside the rooms of the library, only
``..frame`` and ``..telling`` may be imported.
"""
