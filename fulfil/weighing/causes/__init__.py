"""Why a bag or a package weighs what it weighs: rival explanations, each with how likely it is.

Start with :mod:`fulfil.weighing.causes.diagnosis`, the door; :mod:`~fulfil.weighing.causes.bag_diagnosis` and
:mod:`~fulfil.weighing.causes.package_diagnosis` list what could have gone wrong, with the priors of
:mod:`~fulfil.weighing.causes.mistake_priors`; :mod:`~fulfil.weighing.causes.ranking` weighs them against each other,
for bags as for drifts and tubs.

May be imported here: ``fulfil.weighing.lookalike`` and what that needs, ``fulfil.quantities``, ``fulfil.errors``.
"""
