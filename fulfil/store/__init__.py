"""The shop's database: tables, transactions, journal, both books of pieces. The only room that knows SQL.

Start with :func:`fulfil.store.shop.open_shop` (opens a shop); :class:`fulfil.store.books.Books` reads and writes its
records within one transaction, :mod:`fulfil.store.moving` moves pieces. A record's table is a subclass that adds keys,
its history the files of ``migrations``.

May be imported here: ``fulfil.records`` and below; never a room of the shop, nor papers or files.
"""
