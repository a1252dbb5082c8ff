"""The tables, declared: one file for the records of one part of the shop, opened when a table of it is asked for.

Start at :func:`fulfil.store.tables.table_of`, which knows which file declares the tables of which records. A file here
imports records and :mod:`fulfil.store.columns`, nothing else of the store but :mod:`fulfil.store.row`.
"""
