"""A plan's bound, proven in a process of its own, so that nobody at the benches waits for it.

``python -m fulfil.walks.bound_apart SHOP DAY LOOKS`` answers in JSON; :func:`begin` starts it, :func:`result` waits.
The proof is bounded by looks at a clock that ticks once a look: work, not seconds, ends it, so the bound is the
same on every machine. Nothing is written to the shop.
"""

import json
import sys
from datetime import date
from itertools import count
from subprocess import PIPE, Popen

from fulfil.errors import StateRefused


def begin(where: str, day: date, looks: int) -> "Popen[str]":
    """Starts the proof of a day's plan as it stands in a shop."""
    return Popen([sys.executable, "-m", __name__, where, day.isoformat(), str(looks)], stdout=PIPE, text=True)  # noqa: S603


def make_ready(*modules: str) -> "Popen[str]":
    """Has the modules' machine code made, and kept for all who import them later, by another process."""
    return Popen([sys.executable, "-c", f"import {', '.join(modules)}"], text=True)  # noqa: S603


def result(proving: "Popen[str]") -> tuple[int, bool]:
    """The bound in mm and whether it is closed.

    Raises:
        StateRefused: the proof ended without an answer; why, it has said on the error stream.
    """
    said, _ = proving.communicate()
    if proving.returncode:
        raise StateRefused("prove the plan in process", proving.pid, "an answer; see the error stream")
    answer = json.loads(said)
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


if __name__ == "__main__":
    main(*sys.argv[1:])
