"""Samples: one of each paper, with invented data, to choose settings by and to test with.

Every function returns the sheet of a usual case; keyword arguments replace single fields of it. The same sheets are
printed by ``fulfil papers sample`` and measured by the tests.
"""
