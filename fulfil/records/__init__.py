"""Plain validated records of the shop: what a part, an order, a bag or a manifest *is*.

A record is a SQLModel without a table: it validates when it is built and knows no database. Its table, in
``fulfil.store``, is a subclass that adds keys. Records are changed by building another one
(:meth:`~sqlmodel.SQLModel.model_copy`), never in place.

What the papers print is a record too: the *sheets* in :mod:`fulfil.records.sheets` hold every word and figure of
a page, computed already, so that a paper only places them.
"""
