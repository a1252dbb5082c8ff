"""How far a step is, as a bar: on the error output of a terminal, after a second, and nowhere else.

The bar is the command-line library's own. What is piped, or read by another program, holds nothing of it; neither does
a terminal that says it can't move its cursor (``TERM=dumb``).
"""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from time import monotonic
from typing import Any

import click

from fulfil.progress import listened_to

PATIENCE_S = 1.0
"""Before this nobody asks how far it is."""


@contextmanager
def shown_progress() -> Iterator[None]:
    """While this lasts, what tells how far it is gets a bar, if somebody can see it."""
    if not sys.stderr.isatty() or os.environ.get("TERM") == "dumb":
        yield
        return
    bars = Bars()
    try:
        with listened_to(bars.tell):
            yield
    finally:
        bars.end()


class Bars:
    """One bar at a time, made when the first second is over; another step takes its place."""

    def __init__(self) -> None:
        self._began = monotonic()
        self._bar: Any = None

    def tell(self, what: str, done: int, of: int) -> None:
        """Moves the bar of this step, or begins it."""
        if monotonic() - self._began < PATIENCE_S or of <= 0:
            return
        if self._bar is None or (self._bar.label, self._bar.length) != (what, of):
            self.end()
            self._bar = click.progressbar(
                length=of, label=what, file=sys.stderr, show_eta=False, show_pos=True, width=24
            )
            self._bar.render_progress()
        self._bar.update(done - self._bar.pos)

    def end(self) -> None:
        """Leaves the last bar on the line that it has."""
        if self._bar is not None:
            self._bar.render_finish()
        self._bar = None
