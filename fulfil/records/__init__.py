"""Plain validated records of the shop: what a part, an order, a bag or a manifest *is*.

A record is a SQLModel without a table: it validates when it is built and knows no database. Its table, in
``fulfil.store``, is a subclass that adds keys. Records are changed by building another one
(:meth:`~sqlmodel.SQLModel.model_copy`), never in place.

What a paper prints is a *sheet*, which holds every word and figure of it, computed already; it stands beside its
drawing in ``fulfil.papers``.
"""
