"""Samples: one of each paper, with invented data, to choose settings by and to test with.

**What lives here.** Every function returns the sheet of a usual case; keyword arguments replace single fields of it.
The modules follow the papers' groups; what they share of the invented shop is in :mod:`.shop`, and :mod:`.papers` names
the files that are made of them. The same sheets are printed by ``fulfil papers sample`` and measured by the tests: what
stands on them, that nothing overlaps at the limits that records allow, that every bar code is read.

**What may be imported.** The library; the library never imports this.

**Where to start.** :mod:`.papers`: a new paper gets its line there, and all tests of papers run over it.
"""
