"""Services and their limits, addresses and identifiers, manifest totals, the day's reconciliation.

Start with :mod:`fulfil.shipping.services` (which service may carry a package, at what price) and
:mod:`fulfil.shipping.balance` (ordered = shipped + short + held + cancelled, to the piece).

Pure: records in, findings out. May be imported here: ``fulfil.records`` and below, no other pure room.
"""
