"""Records of what leaves and what comes back: services with their tariffs, packages, customs, bills, claims.

Start with :mod:`fulfil.records.despatch.dispatch` (packages and manifests) and
:mod:`fulfil.records.despatch.service`; :mod:`~fulfil.records.despatch.tariff` has a service's prices,
:mod:`~fulfil.records.despatch.customs` what is declared, :mod:`~fulfil.records.despatch.carrier_bill` what the carrier
asks, :mod:`~fulfil.records.despatch.claim` and :mod:`~fulfil.records.despatch.goods_back` what a customer says and
sends back.

May be imported here: the other records, ``fulfil.standards``, ``fulfil.quantities``, ``fulfil.errors``.
"""
