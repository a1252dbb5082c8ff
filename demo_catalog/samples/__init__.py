"""Samples: one of each paper, with invented data, to choose settings by and to test with.

**What lives here.** Every function returns the sheet of a usual case; keyword arguments replace single fields of it.
The modules follow the papers' groups, and each names in ``SAMPLES`` the files that are made of its sheets;
:mod:`.papers` has all of them. What they share of the invented shop is in :mod:`.shop`. The same sheets are printed by
``fulfil papers sample`` and measured by the tests: what stands on them, that nothing overlaps at the limits that
records allow, that every bar code is read.

**What may be imported.** The library; the library never imports this.

**Where to start.** The module of a paper's group: a new paper gets its sheet and its line in ``SAMPLES`` there, and all
tests of papers run over it.
"""
