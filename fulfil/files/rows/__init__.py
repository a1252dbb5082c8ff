"""Rows out of a file of any make: its letters, its delimiter, its sheet, each row with its line number.

Start with :mod:`fulfil.files.rows.table`: a path in, a table out. :mod:`~fulfil.files.rows.encodings` finds the
letters, :mod:`~fulfil.files.rows.dialect` the delimiter and the decimal sign, :mod:`~fulfil.files.rows.csv_rows` and
:mod:`~fulfil.files.rows.xlsx_rows` take the rows out. Nothing here knows what a column means.

May be imported here: ``fulfil.errors``, ``fulfil.quantities``, ``fulfil.records.finding``.
"""
