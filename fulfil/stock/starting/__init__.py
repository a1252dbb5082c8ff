"""The first evening of a shop: what is asked, and the catalogue's files that it is written into.

:mod:`~fulfil.stock.starting.evening` is the whole script (of :mod:`fulfil.shop.conversation`), its parts in the order
of asking: :mod:`~fulfil.stock.starting.address`, :mod:`~fulfil.stock.starting.equipment`,
:mod:`~fulfil.stock.starting.room`, :mod:`~fulfil.stock.starting.part_list`. Each gives rows of the files that
:mod:`fulfil.files.catalogue` reads; every answer is read by the columns of these files. The files stay the source: a
file that is in the folder already is not asked for.
"""
