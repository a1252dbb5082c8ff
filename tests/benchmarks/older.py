"""Planning, checking and packing of the demo day against an older tree of fulfil, both in the same run.

    git worktree add /tmp/older 8d47cf1
    python -m tests.benchmarks.older /tmp/older --rounds 5

Each tree plays the day in a process of its own, with the same seed and no planted mistakes. The two take turns, call by
call, on one processor, so that whatever else the machine does slows both alike. Counted is the processor time inside
the shop's steps (``plan_day``, ``check_bag``, ``plan_packages``, ``weigh_package``), not what the rehearsal around them
costs. A round before the first makes machine code.
"""

import argparse
import gc
import importlib
import importlib.util
import os
import subprocess
import sys
from collections import defaultdict
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import process_time
from typing import Any
from zoneinfo import ZoneInfo

DAY = date(2026, 3, 2)
BEGINS = datetime(2026, 3, 2, 8, 0, tzinfo=ZoneInfo("Europe/Luxembourg"))
STEPS = {"plan": ("plan_day",), "check": ("check_bag",), "pack": ("plan_packages", "weigh_package")}
"""What is compared, and which steps of the shop it is."""


def module(*names: str) -> Any:
    """The first of these modules that the tree has: rooms were named otherwise before."""
    for name in names:
        try:
            return importlib.import_module(name)
        except ModuleNotFoundError as missing:
            if missing.name is None or not name.startswith(missing.name):
                raise
    raise SystemExit(f"this tree has none of {', '.join(names)}")


def in_turn(work: Callable[..., Any]) -> Callable[..., Any]:
    """A step that waits for its turn, then says what it cost."""

    def measured(*given: Any, **named: Any) -> Any:
        if not sys.stdin.readline():
            raise SystemExit("nobody gives turns any more")
        began = process_time()
        try:
            return work(*given, **named)
        finally:
            print(work.__name__, process_time() - began, flush=True)

    return measured


def play(tree: Path) -> None:
    """The day in one tree."""
    # Only this tree: what is installed for work on another one must not answer for what this one lacks.
    sys.meta_path[:] = [one for one in sys.meta_path if not getattr(one, "__module__", "").startswith("__editable__")]
    place = tree / "demo_catalog" / "__init__.py"
    spec = importlib.util.spec_from_file_location(
        "fulfil_demo_catalog", place, submodule_search_locations=[str(place.parent)]
    )
    if spec is None or spec.loader is None:
        raise SystemExit(f"{tree} has no demo_catalog")
    sys.modules["fulfil_demo_catalog"] = found = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(found)
    rehearsals = module("fulfil_demo_catalog.rehearsal", "fulfil.day.rehearsal")
    rates = module(
        "fulfil_demo_catalog.mistakes.rates", "fulfil_demo_catalog.mistake_rates", "fulfil.day.chance"
    ).MistakeRates
    catalogue = module("fulfil.stock.catalogue", "fulfil.day.catalogue")
    orders = module("fulfil.orders.importing", "fulfil.day.orders")
    lookalikes = module("fulfil.walks.lookalikes", "fulfil.day.lookalikes")
    planning = module("fulfil.walks.plan", "fulfil.day.plan")
    releasing = module("fulfil.walks.releasing", "fulfil.day.printing")
    shops = importlib.import_module("fulfil.store.shop")
    for name in ("check_bag", "plan_packages", "weigh_package"):
        setattr(rehearsals, name, in_turn(getattr(rehearsals, name)))
    with TemporaryDirectory() as folder, shops.open_shop(Path(folder) / "shop.sqlite", create=True) as shop:
        files = tree / "demo_catalog"
        catalogue.import_catalogue(shop, files, at=BEGINS, person="clerk-1")
        for name in ("orders.csv", "orders_phone.json"):
            orders.import_orders(shop, files / name, at=BEGINS, person="clerk-1")
        with shop.reading() as books:
            index = lookalikes.look_alike_index(books)
        none = dict.fromkeys(("one_short", "one_over", "wrong_part", "wrong_bag", "missing_bag"), 0.0)
        rehearsal = rehearsals.Rehearsal(shop, seed=1, begins=BEGINS, rates=rates(**none), index=lambda _: index)
        rehearsal.check_all_scales()
        in_turn(planning.plan_day)(shop, day=DAY, at=BEGINS, person="planner-1", seed=1)
        releasing.release_walks(shop, [], Path(folder) / "walks", at=BEGINS, person="planner-1", index=lambda _: index)
        # A full collection of all modules takes as long as packing fifty orders, and falls where chance has it.
        gc.collect()
        gc.freeze()
        rehearsal.check_all_bags()
        rehearsal.pack_all_orders()


class Player:
    """A tree's process; each turn is one step."""

    def __init__(self, tree: Path) -> None:
        named = {**os.environ, "PYTHONPATH": str(tree)}
        words = [sys.executable, __file__, "--play", str(tree)]
        self.process = subprocess.Popen(
            words, env=named, cwd=tree, text=True, stdin=subprocess.PIPE, stdout=subprocess.PIPE
        )
        self.spent: dict[str, float] = defaultdict(float)
        self.calls: dict[str, int] = defaultdict(int)

    def turn(self) -> bool:
        """One step; false when there is none left."""
        if self.process.poll() is not None:
            return False
        assert self.process.stdin is not None
        assert self.process.stdout is not None
        try:
            self.process.stdin.write("go\n")
            self.process.stdin.flush()
        except BrokenPipeError:
            return False
        told = self.process.stdout.readline()
        if not told:
            if self.process.wait():
                raise SystemExit("a day came to no end")
            return False
        name, seconds = told.split()
        self.spent[name] += float(seconds)
        self.calls[name] += 1
        return True


def one_round(first: Path, second: Path) -> dict[Path, Player]:
    """Both days, in turns."""
    players = {tree: Player(tree) for tree in (first, second)}
    going = [*players.values()]
    while going:
        going = [player for player in going if player.turn()]
    return players


def main() -> int:
    """Prints the ratios."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("older", type=Path, help="The older tree, for example a worktree of its commit.")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--play", action="store_true", help=argparse.SUPPRESS)
    told = parser.parse_args()
    older, ours = told.older.resolve(), Path(__file__).resolve().parents[2]
    if told.play:
        play(older)
        return 0
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    one_round(older, ours)
    rounds = []
    for number in range(told.rounds):
        players = one_round(*((older, ours) if number % 2 else (ours, older)))
        rounds.append((players[older], players[ours]))
    for step, names in STEPS.items():
        print(f"{step:>6}: {compared(rounds, names, per='')} CPU s")
        for name in names if len(names) > 1 else ():
            print(f"        {name}: {compared(rounds, (name,), per=name)} CPU ms a call")
    return 0


def compared(rounds: list[tuple[Player, Player]], names: tuple[str, ...], *, per: str) -> str:
    """The medians of both, the median of the rounds' ratios, and their range; of a call where ``per`` names it."""

    def cost(player: Player) -> float:
        spent = sum(player.spent[name] for name in names)
        return 1000 * spent / player.calls[per] if per else spent

    before, now = [cost(one) for one, _ in rounds], [cost(one) for _, one in rounds]
    ratios = [b / a for a, b in zip(before, now, strict=True)]
    steps = ", ".join(f"{rounds[-1][0].calls[name]} and {rounds[-1][1].calls[name]} {name}" for name in names)
    ratio = f"ratio {median(ratios):.2f} ({min(ratios):.2f} to {max(ratios):.2f}; {steps})"
    return f"{median(before):.3f} → {median(now):.3f}, {ratio}"


if __name__ == "__main__":
    sys.exit(main())
