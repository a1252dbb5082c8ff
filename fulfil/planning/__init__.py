"""Which orders, bags, walks and boxes belong together, and how far a plan is from the best: pure computations.

Start with :mod:`fulfil.planning.batching`, the door to batches: ``searching`` finds them, ``proving`` says how far from
the best they are. :mod:`fulfil.planning.allocation` says who is promised what, :mod:`fulfil.planning.bagging` how
pieces fill bags, ``boxes`` how bags fill boxes, :mod:`fulfil.planning.waves` and :mod:`fulfil.planning.people` who
walks when.

No record, no clock, no chance of its own: a seed and a stopping rule come in.
"""
