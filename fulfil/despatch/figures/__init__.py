"""What days and months came to, for the owner.

:mod:`~fulfil.despatch.figures.day_figures` sets a day beside the twenty before it,
:mod:`~fulfil.despatch.figures.month` sums a month. They only read; nothing of the day waits for them.
"""
