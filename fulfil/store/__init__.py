"""The shop's database: tables, transactions, journal. The only room that knows SQL.

:func:`fulfil.store.shop.open_shop` opens a shop, :class:`fulfil.store.books.Books` reads and writes its records.
"""
