"""How far a long step is, told to whoever listens: a bar at a terminal, nothing anywhere else.

>>> with listened_to(lambda what, done, of: print(what, f"{done}/{of}")):
...     sum(each("adding", [1, 2]))
adding 0/2
adding 1/2
adding 2/2
3
>>> sum(each("adding", [1, 2]))
3

Nothing that a step does or answers depends on it. Who listens is kept for the running call alone (``contextvars``), so
a server's other requests and other threads aren't heard.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

Listener = Callable[[str, int, int], None]
"""Is told what is going on, how many are done, and of how many."""
One = TypeVar("One")
_listener: ContextVar[Listener | None] = ContextVar("listener", default=None)


@contextmanager
def listened_to(listener: Listener) -> Iterator[None]:
    """While this lasts, the listener is told."""
    token = _listener.set(listener)
    try:
        yield
    finally:
        _listener.reset(token)


def tell(what: str, done: int, of: int) -> None:
    """Says that ``done`` of ``of`` are done."""
    listener = _listener.get()
    if listener is not None:
        listener(what, done, of)


def each(what: str, things: Sequence[One]) -> Iterator[One]:
    """The things one by one, telling before the first and after each."""
    return told(what, things, len(things))


def told(what: str, things: Iterable[One], of: int) -> Iterator[One]:
    """As :func:`each`, for things that are made one by one."""
    tell(what, 0, of)
    for done, one in enumerate(things, start=1):
        yield one
        tell(what, done, of)
