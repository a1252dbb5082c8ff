"""How far a plan of batches is from the best possible: lower bounds by column generation, as far as time allows.

Start with :mod:`fulfil.planning.proving.proof` (a plan in, a bound and whether it is closed out) and
:mod:`fulfil.planning.proving.bound`; :mod:`~fulfil.planning.proving.first_bounds` knows what holds before anything
is priced. A bound is a choice among all batches: :mod:`~fulfil.planning.proving.master`
chooses among the known ones, :mod:`~fulfil.planning.proving.pricing` and
:mod:`~fulfil.planning.proving.near_pricing` look for better ones, helped by
:mod:`~fulfil.planning.proving.worth`, :mod:`~fulfil.planning.proving.cuts` tightens it;
:mod:`~fulfil.planning.proving.shares` says how much of it is proven next.

May be imported here: ``fulfil.planning.walks``, ``cart`` and ``plan``, ``fulfil.errors``. The clock comes in.
"""
