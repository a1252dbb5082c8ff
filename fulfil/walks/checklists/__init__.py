"""The rows of a checklist: which bags of a walk need an eye or a count besides the scale, and what is said of them.

**What may be imported.** Counting, checking, weighing, papers, store.

**Where to start.** :mod:`~fulfil.walks.checklists.check_rows`; the rule is in :mod:`~fulfil.walks.checklists.mixed_up`.
"""
