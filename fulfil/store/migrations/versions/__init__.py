"""One file per migration, numbered; each frozen on the day it was released.

``0008_release`` makes the tables of the first released shop (``0008_1_tables``, ``0008_2_tables``); each later file
takes a shop one step on, with its pieces and papers. A new file follows the highest number and imports no record, so
that what a record becomes later cannot change what it did.
"""
