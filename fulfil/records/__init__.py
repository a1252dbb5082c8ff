"""Plain validated records of the shop: what a part, an order, a bag or a manifest *is*.

A record is a :class:`~fulfil.records.revised.Record`: it validates when it is built and knows no database. Its
table, in ``fulfil.store``, is a subclass that adds keys. Records are changed by building another one
(:func:`fulfil.records.revised.revised`, which validates), never in place.

Start with :mod:`fulfil.records.order`, :mod:`fulfil.records.part` and :mod:`fulfil.records.pieces`; what leaves and
comes back is in ``despatch``. May be imported here: ``fulfil.standards`` and below.

What a paper prints is a *sheet*, which holds every word and figure of it, computed already; it stands beside its
drawing in ``fulfil.papers``.
"""
