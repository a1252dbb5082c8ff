"""Papers of the bench: what goes back to a bin, what lies under the scanner, what hangs on the wall, how a part weighs.

**What lives here.** The recount slip, the bench cards (commands, cart positions, badges), a scale's counting table, a
part's unit-weight card, the drift chart that the day report shows, and the calibration page, which has no sheet: it is
drawn, not filled in.

**What may be imported.** The rest of :mod:`fulfil.papers`, records, quantities, the bar codes of
:mod:`fulfil.standards`.

**Where to start.** :mod:`~fulfil.papers.bench.bench_card` for a paper of labels,
:mod:`~fulfil.papers.bench.counting_table` for one of pages.
"""
