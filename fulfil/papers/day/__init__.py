"""Papers of the evening: does the day balance, what was billed, what must be done before anyone goes home.

**What lives here.** The day report and the reconciliation; there is one of each a day, and its number is the day's.

**What may be imported.** The rest of :mod:`fulfil.papers` (the report shows the drift charts of
:mod:`~fulfil.papers.bench`).

**Where to start.** :mod:`~fulfil.papers.day.day_report`: its figures are written already, in groups, by
``fulfil.despatch.day_papers``.
"""
