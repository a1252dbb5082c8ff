"""Planning, checking and packing of the demo day against an older tree of fulfil, both in the same run.

    git worktree add /tmp/older 8d47cf1
    python -m tests.benchmarks.older /tmp/older --rounds 7

Each round plans the day once and checks and packs it ``--times`` times, from copies of the shop, in each tree, each in a
process of its own and in turns, with the same seed and no planted mistakes. Processor time is summed inside the steps
themselves (``plan_day``, ``check_bag``, ``plan_packages``, ``weigh_package``), so what the rehearsal around them costs
doesn't count. A round before the first makes machine code.
Printed are the quietest round of each (what else runs on the machine only ever adds), their ratio, and the median of the
rounds' own ratios.
"""

import argparse
import gc
import importlib
import importlib.util
import json
import os
import shutil
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


def play(tree: Path, times: int) -> dict[str, float]:
    """The day in one tree: processor seconds by step and how often it was taken; of checking and packing the least."""
    # Only this tree: what is installed for work on another one must not answer for what this one lacks.
    sys.meta_path[:] = [one for one in sys.meta_path if not getattr(one, "__module__", "").startswith("__editable__")]
    place = tree / "demo_catalog" / "__init__.py"
    spec = importlib.util.spec_from_file_location("fulfil_demo_catalog", place, submodule_search_locations=[place.parent.as_posix()])  # fmt: skip
    assert spec is not None and spec.loader is not None
    sys.modules["fulfil_demo_catalog"] = found = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(found)
    rehearsals = module("fulfil_demo_catalog.rehearsal", "fulfil.day.rehearsal")
    rates = module("fulfil_demo_catalog.mistake_rates", "fulfil.day.chance").MistakeRates
    catalogue = module("fulfil.stock.catalogue", "fulfil.day.catalogue")
    orders = module("fulfil.orders.importing", "fulfil.day.orders")
    lookalikes = module("fulfil.walks.lookalikes", "fulfil.day.lookalikes")
    planning = module("fulfil.walks.plan", "fulfil.day.plan")
    releasing = module("fulfil.walks.releasing", "fulfil.day.printing")
    shops = importlib.import_module("fulfil.store.shop")
    spent: dict[str, float] = defaultdict(float)

    def timed(name: str, work: Callable[..., Any]) -> Callable[..., Any]:
        def measured(*given: Any, **named: Any) -> Any:
            began = process_time()
            try:
                return work(*given, **named)
            finally:
                spent[name] += process_time() - began
                spent[f"calls of {name}"] += 1

        return measured

    for name in ("check_bag", "plan_packages", "weigh_package"):
        setattr(rehearsals, name, timed(name, getattr(rehearsals, name)))
    with TemporaryDirectory() as folder:
        kept = Path(folder) / "planned.sqlite"
        with shops.open_shop(kept, create=True) as shop:
            files = tree / "demo_catalog"
            catalogue.import_catalogue(shop, files, at=BEGINS, person="clerk-1")
            for name in ("orders.csv", "orders_phone.json"):
                orders.import_orders(shop, files / name, at=BEGINS, person="clerk-1")
            with shop.reading() as books:
                index = lookalikes.look_alike_index(books)
            none = {name: 0.0 for name in ("one_short", "one_over", "wrong_part", "wrong_bag", "missing_bag")}
            begun = {"seed": 1, "begins": BEGINS, "rates": rates(**none), "index": lambda _: index}
            rehearsals.Rehearsal(shop, **begun).check_all_scales()
            timed("plan_day", planning.plan_day)(shop, day=DAY, at=BEGINS, person="planner-1", seed=1)
            releasing.release_walks(
                shop, [], Path(folder) / "walks", at=BEGINS, person="planner-1", index=lambda _: index
            )
        best = dict(spent)
        for number in range(times):
            spent.clear()
            copied = Path(folder) / f"day-{number}.sqlite"
            shutil.copy(kept, copied)
            with shops.open_shop(copied) as shop:
                rehearsal = rehearsals.Rehearsal(shop, **begun)
                for part_of_the_day in (rehearsal.check_all_bags, rehearsal.pack_all_orders):
                    # A full collection of all modules takes as long as packing fifty orders, and falls where it likes.
                    gc.collect()
                    gc.freeze()
                    part_of_the_day()
            best |= {name: min(spent[name], best.get(name, spent[name])) for name in spent}
    return best


def apart(tree: Path, times: int) -> dict[str, float]:
    """:func:`play` in a process of its own that knows this tree only."""
    named = {**os.environ, "PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": ""}
    ran = subprocess.run(
        [sys.executable, __file__, str(tree), "--play", "--times", str(times)], env=named, cwd=tree, capture_output=True, text=True
    )
    if ran.returncode:
        raise SystemExit(f"{tree}:\n{ran.stderr}")
    told: dict[str, float] = json.loads(ran.stdout.splitlines()[-1])
    return told


def compared(before: list[float], now: list[float]) -> str:
    """The quietest round of each, their ratio, and the median of the rounds' own ratios."""
    ratios = [b / a for a, b in zip(before, now, strict=True)]
    least = f"{min(before):.3f} → {min(now):.3f}, ratio {min(now) / min(before):.2f}"
    return f"{least} (median of the rounds {median(ratios):.2f}, {min(ratios):.2f} to {max(ratios):.2f})"


def main() -> int:
    """Prints the ratios."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("older", type=Path, help="The older tree, for example a worktree of its commit.")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--times", type=int, default=5)
    parser.add_argument("--play", action="store_true", help=argparse.SUPPRESS)
    told = parser.parse_args()
    older, ours = told.older.resolve(), Path(__file__).resolve().parents[2]
    if told.play:
        print(json.dumps(play(older, told.times)))
        return 0
    for tree in (older, ours):
        apart(tree, 1)
    rounds = []
    for number in range(told.rounds):
        # Turns change, so that neither is always the one that runs while the machine warms up.
        first, second = (older, ours) if number % 2 else (ours, older)
        by_tree = {one: apart(one, told.times) for one in (first, second)}
        rounds.append((by_tree[older], by_tree[ours]))
    last_older, last_ours = rounds[-1]
    for step, names in STEPS.items():
        before = [sum(one[name] for name in names) for one, _ in rounds]
        now = [sum(one[name] for name in names) for _, one in rounds]
        calls = ", ".join(
            f"{name} {last_older[f'calls of {name}']:.0f} and {last_ours[f'calls of {name}']:.0f} times" for name in names
        )
        print(f"{step:>6}: {compared(before, now)} CPU s  ({calls})")
        for name in names if len(names) > 1 else ():
            a_ms = [1000 * one[name] / one[f"calls of {name}"] for one, _ in rounds]
            b_ms = [1000 * one[name] / one[f"calls of {name}"] for _, one in rounds]
            print(f"        {name}: {compared(a_ms, b_ms)} ms a call")
    return 0


if __name__ == "__main__":
    sys.exit(main())
