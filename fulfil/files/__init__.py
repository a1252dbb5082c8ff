"""Files: records in and out of CSV, JSON and other formats, with a line number in every finding.

Start with :mod:`fulfil.files.columns` (a column list is a table's whole description) and
:mod:`fulfil.files.catalogue`. ``rows`` takes rows out of a file of any make, ``mapping`` reads other people's columns
as ours; the other modules are one table each, in and out.

Nothing here touches the shop; what was read is handed to the shop's rooms, whole or not at all.
"""
