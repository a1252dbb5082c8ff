"""What the shop's own weighings say: better unit weights, and whether a part or a scale has changed.

Start with :mod:`fulfil.weighing.learning.learning` (weighings in, unit weights out); its arithmetic is in
:mod:`~fulfil.weighing.learning.posterior`. :mod:`~fulfil.weighing.learning.drift` keeps two control charts on what
:mod:`~fulfil.weighing.learning.innovation` calls news, :mod:`~fulfil.weighing.learning.drift_cause` says which part,
lot or scale is behind a signal.

May be imported here: ``fulfil.weighing.causes.ranking``, ``fulfil.quantities``, ``fulfil.errors``.
"""
