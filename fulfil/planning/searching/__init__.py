"""The search for batches: which orders ride together so that all walks are short, within the effort asked for.

Start with :mod:`fulfil.planning.searching.search`: it reads as the list of its means.
:mod:`~fulfil.planning.searching.savings` builds a first plan, :mod:`~fulfil.planning.searching.annealing` improves it
by moves, :mod:`~fulfil.planning.searching.emptying` takes whole walks apart,
:mod:`~fulfil.planning.searching.recombination` picks the best of all batches seen,
:mod:`~fulfil.planning.searching.few_orders` tries everything where that is possible. Chance comes in as a seed.

May be imported here: ``fulfil.planning.walks``, ``cart``, ``filling`` and ``plan``, ``fulfil.planning.proving.master``
(the choice among known batches), ``fulfil.errors``.
"""
