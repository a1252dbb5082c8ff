"""One module per step of the day: read, compute, write, return. The only room that joins the others.

A step opens the store once, asks the pure rooms, writes what they said and returns a record of what it did. Time and
people come in as arguments (``at``, ``person``), so that the same day can be run again to the same end.
"""
