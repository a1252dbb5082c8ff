"""``fulfil bench`` and ``fulfil bags``: checking and packing with scanner and scale, or by typing.

Start with ``bench``; ``bench_terminal`` holds the dialogue and the scale's line, ``big_words`` what is read from two
metres away. The rules are in ``fulfil.bench``, whichever door asks. Beside the rooms of the library, only ``..frame``
and ``..telling`` may be imported.
"""
