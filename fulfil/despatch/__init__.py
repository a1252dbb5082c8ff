"""From checked bags to the van and the carrier's bill: boxes, packages, customs, services, manifests, the day's close.

Start with :mod:`fulfil.despatch.pack` (boxes chosen, packages weighed and sealed) and :mod:`fulfil.despatch.ship`
(manifests closed, packages void). :mod:`fulfil.despatch.report` and :mod:`fulfil.despatch.reconcile` hold the day
together, :mod:`fulfil.despatch.close` ends it. What comes after: :mod:`fulfil.despatch.claims`,
:mod:`fulfil.despatch.packages_back`. Rules of services and bills are in :mod:`fulfil.shipping` and know no shop.

May be imported here: ``fulfil.stock``, ``fulfil.walks``, ``fulfil.counting``, ``fulfil.orders``, ``fulfil.shop`` and
all below.
"""
