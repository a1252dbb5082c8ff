"""Which share of the duals is priced next: small ones first where the whole is hard, the whole at once where it is not.

Duals scaled down by a share bound by that share of the programme's value, and leave exact pricing far less to do; so
where the whole is hard, shares are climbed and a bound is there early. Where it is easy, each share below the whole
costs about as much as the whole and says less. Branches grow about exponentially with the share, so two shares that
were priced out foretell the whole, roughly:

>>> shares = Shares()
>>> for branches in (132, 7_627, 45_239):
...     shares.priced_out(branches)
>>> shares.share
1.0
>>> shares.stopped()  # The whole took more than foretold: back to where it was left, and from there step by step.
True
>>> shares.share
0.94

A forecast decides only how long a proof takes, never what it proves.
"""

LADDER = (0.6, 0.8, 0.9, 0.94, 0.96, 0.97, 0.98, 0.985, 0.99, 0.993, 0.996, 1.0)
"""The shares, priced one after the other."""

EASY = 600_000
"""A whole that is foretold to take so many branches at most is priced at once."""

_LEEWAY = 2
"""So many times of what was foretold a whole may take in each of two threads: a hard one costs little to find out."""

_FROM = 2
"""From this place of the ladder on the branches foretell anything: 1,000 at 0.8 may be millions at 1."""

_AFTER_CUTS = 7
"""Cuts change the duals; where the whole was hard, it is begun from here again."""

_WHOLE = len(LADDER) - 1


class Shares:
    """Where on the ladder a case stands, and what it has learned of its branches."""

    def __init__(self) -> None:
        self._place = 0
        self._last = (0.0, 0)
        self._left_from: int | None = None
        self._foretold = 0
        self._is_wary = False
        self._is_easy = False

    @property
    def share(self) -> float:
        """The share of the duals to price against."""
        return LADDER[self._place]

    @property
    def is_whole(self) -> bool:
        """Whether all of the duals are priced against."""
        return self._place == _WHOLE

    @property
    def most_branches(self) -> int | None:
        """Where to stop a whole that was taken for easy, well above what was foretold; else nothing to say."""
        return self._foretold * _LEEWAY if self._left_from is not None else None

    def priced_out(self, branches: int) -> None:
        """This share was priced to the end in so many branches and nothing was found: climb."""
        share, (below, fewer) = self.share, self._last
        self._last = (share, branches)
        if self._place >= _FROM and not self._is_wary and fewer > 0 and self._place < _WHOLE:
            growth = max(1.0, branches / fewer) ** ((1.0 - share) / (share - below))
            if branches * growth <= EASY:
                self._foretold = int(branches * growth) + 1
                self._left_from, self._place = self._place + 1, _WHOLE
                return
        self._place = min(_WHOLE, self._place + 1)

    def whole_was_priced(self, branches: int) -> None:
        """The whole was priced to the end in so many branches."""
        self._left_from = None
        self._is_easy = branches <= EASY

    def stopped(self) -> bool:
        """The search stopped before its end; whether another share is tried for that."""
        if self._left_from is None:
            return False
        self._place, self._left_from, self._is_wary = self._left_from, None, True
        return True

    def after_cuts(self) -> None:
        """The programme has cuts now, or exact numbers of carts: begin again where that is worth it."""
        if not self._is_easy:
            self._place = _AFTER_CUTS
