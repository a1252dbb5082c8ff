"""A plan's bound, proven in a process of its own, so that nobody at the benches waits for it.

:func:`begin` starts the process before there is anything to prove: on the first run of a machine it makes the machine
code of search and proof meanwhile, and :func:`wait_until_ready` waits for the search's. :func:`ask` names the plan,
:func:`result` waits for its bound. ``python -m fulfil.walks.bound_apart SHOP DAY LOOKS`` proves a plan alone.

The proof is bounded by looks at a clock that ticks once a look: work, not seconds, ends it, so the bound is the
same on every machine. Nothing is written to the shop.
"""

import json
import sys
from contextlib import suppress
from datetime import date
from importlib import import_module
from itertools import count
from subprocess import PIPE, Popen

from fulfil.errors import StateRefused

SEARCH = ("fulfil.room.kernel", "fulfil.planning.searching.savings", "fulfil.planning.searching.annealing")
PROOF = (
    "fulfil.planning.proving.proof",
    "fulfil.store.shop",
    "fulfil.walks.prove",
    # What rooms of other shapes are walked by: nobody waits for their drawings before the proof.
    "fulfil.room.sweeping.sweep",
    "fulfil.room.touring.held_karp",
)
"""Modules that hold machine code, and what the proof reads the plan with."""
_READY = "ready"


def begin() -> "Popen[str]":
    """Starts the process, which gets ready for a plan to be proven."""
    return Popen([sys.executable, "-m", __name__], stdin=PIPE, stdout=PIPE, text=True)  # noqa: S603


def wait_until_ready(proving: "Popen[str]") -> bool:
    """Waits until the search's machine code is made and kept; False where the process ended before."""
    return proving.stdout is not None and proving.stdout.readline().strip() == _READY


def ask(proving: "Popen[str]", where: str, day: date, looks: int) -> None:
    """Has a day's plan proven as it stands in a shop."""
    # One that has ended can't be asked; why it did, ``result`` says.
    with suppress(BrokenPipeError):
        if proving.stdin is not None:
            proving.stdin.write(json.dumps([where, day.isoformat(), str(looks)]) + "\n")
            proving.stdin.flush()


def result(proving: "Popen[str]") -> tuple[int, bool]:
    """The bound in mm and whether it is closed.

    Raises:
        StateRefused: the proof ended without an answer; why, it has said on the error stream.
    """
    said, _ = proving.communicate()
    if proving.returncode:
        raise StateRefused("prove the plan in process", proving.pid, "an answer; see the error stream")
    answer = json.loads(said.splitlines()[-1])
    return answer["bound_mm"], answer["closed"]


def main(where: str, day: str, looks: str) -> None:
    """The other process: proves, and answers on the standard output."""
    from fulfil.planning.proving.proof import prove
    from fulfil.store.shop import open_shop
    from fulfil.walks.prove import plan_in_books

    with open_shop(where) as shop, shop.reading() as books:
        plan = plan_in_books(books, day=date.fromisoformat(day))
    proof = prove(plan, seconds=int(looks), clock=map(float, count()).__next__)
    sys.stdout.write(json.dumps({"bound_mm": proof.bound_mm, "closed": proof.closed}))


def serve() -> None:
    """The other process, started before there is a plan: gets ready, and proves the one that it is asked about."""
    for name in SEARCH:
        import_module(name)
    sys.stdout.write(f"{_READY}\n")
    sys.stdout.flush()
    for name in PROOF:
        import_module(name)
    asked = sys.stdin.readline()
    if asked:
        main(*json.loads(asked))


if __name__ == "__main__":
    main(*sys.argv[1:]) if sys.argv[1:] else serve()
