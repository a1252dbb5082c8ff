"""Days of an invented shop, simulated from a seed: clock, people, scales, disks, kills and whose turn it is.

    python -m tests.benchmarks.faults.days --seeds 1 200 [--days 2] [--steps 60]

Every seed is a harbour shop of its own (:mod:`tests.harbour_shop`), in which eight people take turns; the books are
looked at after every step that may have changed them, and whole every twelfth step and at each evening
(:mod:`~tests.benchmarks.faults.books_checked`). A seed whose books break, or whose program
ends in anything but a sentence, is printed with what broke, and fails again for whoever runs it alone.
"""

import argparse
import os
import traceback
from collections import Counter
from dataclasses import dataclass, field
from datetime import datetime, time, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from fulfil.despatch.close import Word, close_day, settle_all
from fulfil.despatch.reconcile import reconcile_day
from fulfil.despatch.ship import close_manifest
from fulfil.errors import Refusal, StateRefused
from fulfil.records.despatch.dispatch import Manifest, ManifestState
from fulfil.store.safe.chain import has_link
from fulfil.store.shop import Shop
from tests.benchmarks.faults.benches import AtBench, AtPacking
from tests.benchmarks.faults.books_checked import closed_before, must_hold
from tests.benchmarks.faults.people import Checker, Clerk, Packer, Person, Planner, Stock
from tests.benchmarks.faults.world import World
from tests.harbour_shop import NOW, ZONE, open_harbour

THOROUGH_EVERY = 12
"""Steps after which the whole record is looked at too, not only the pieces."""
SHARES = (4, 4, 1, 5, 4, 4, 5, 4)
"""How often it is whose turn."""


@dataclass
class Ran:
    """What a seed's days came to: the seal of their end, and what happened in them."""

    seal: str
    seen: Counter[str] = field(default_factory=Counter)


def simulate(seed: int, folder: Path, *, days: int = 1, steps: int = 60) -> Ran:
    """Runs a seed's days; the same seed ends with the same seal.

    Raises:
        BrokenBooksError: after a step, something didn't hold.
    """
    with open_harbour(folder) as shop:
        world = World(seed, Path(shop.where), NOW)
        Clerk.keyed = Checker.weighings = 0
        people: list[Person] = [
            Clerk(world, "ngaio"), Planner(world, "mere"), Stock(world, "tipene"), Checker(world, "piripi"),
            AtBench(world, "anahera"), AtBench(world, "wiremu"), Packer(world, "huia"), AtPacking(world, "rangi"),
        ]  # fmt: skip
        world.others = [*people]
        heads: list[str] = []
        looked_at = -1
        for day in range(days):
            for person in (*people[:1] * 4, *people[1:2] * 2):
                person.step()
            for step in range(steps):
                world.random.choices(people, SHARES)[0].step()
                with shop.reading() as books:
                    if world.saved != looked_at or step % THOROUGH_EVERY == 0:
                        must_hold(books, people, is_thorough=step % THOROUGH_EVERY == 0)
                    looked_at = world.saved
                    heads.append(books.head()[1])
            _evening(shop, world, people)
            world.now = datetime.combine(world.now.astimezone(ZONE).date() + timedelta(days=1), time(8, 30), ZONE)
            world.seen["days"] += 1
            assert day < days
        with shop.reading() as books:
            must_hold(books, people, is_thorough=True)
            lost = [head for head in heads if not has_link(books._connection, head)]
            assert not lost, f"seals that were there and are gone: {lost}"
            seal = books.head()[1]
        for person in people:
            person.shop.close()
    return Ran(seal, world.seen)


def _evening(shop: Shop, world: World, people: list[Person]) -> None:
    """What was cut off is asked for once more, manifests and the day are closed; then nothing older is taken."""
    world.is_quiet = True
    for person in people:
        if person.again is not None:
            person.step()
    day, at = world.now.astimezone(ZONE).date(), world.tick()
    who = {"at": at, "person": "huia"}
    with shop.reading() as books:
        open_ = [one.service_code for one in books.find(Manifest, state=ManifestState.OPEN)]
    for service in sorted({*open_, "ROAD", "POST"}):
        try:
            close_manifest(shop, service, day=day, without_papers="simulated", **who)  # type: ignore[arg-type]
        except Refusal:
            world.seen["refused"] += 1
    words = [Word(one.code, "simulated", carry_over=True) for one in reconcile_day(shop, day=day).open_differences]
    settle_all(shop, words, day=day, **who)  # type: ignore[arg-type]
    close_day(shop, day=day, **who)  # type: ignore[arg-type]
    with shop.reading() as books:
        before = closed_before(books)
    try:
        Stock(world, "late").count(at - timedelta(hours=1))
        raise AssertionError("a closed day took something of before its closing")
    except StateRefused:
        world.seen["late refused"] += 1
    with shop.reading() as books:
        assert closed_before(books) == before
    world.is_quiet = False


def main() -> int:
    """Runs seeds and says what came of them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seeds", nargs=2, type=int, default=(1, 20), metavar=("FIRST", "LAST"))
    parser.add_argument("--days", type=int, default=1)
    parser.add_argument("--steps", type=int, default=60)
    parser.add_argument("--seconds", type=float, default=1e9, help="stop after so long")
    given = parser.parse_args()
    fast = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    began, total, broken, ran = perf_counter(), Counter[str](), [], 0
    busy_s = process_time()
    for seed in range(given.seeds[0], given.seeds[1] + 1):
        if perf_counter() - began > given.seconds:
            break
        with TemporaryDirectory(dir=fast) as folder:
            try:
                total += simulate(seed, Path(folder), days=given.days, steps=given.steps).seen
            except Exception:
                broken.append(seed)
                print(f"seed {seed} broke:\n{traceback.format_exc()}", flush=True)
        ran += 1
        if ran % 50 == 0:
            print(f"… {ran} seeds to {seed}, {process_time() - busy_s:.0f} s of the processor; {broken}", flush=True)
    took = perf_counter() - began
    print(
        f"{ran} seeds from {given.seeds[0]}, {dict(sorted(total.items()))}; {took:.0f} s, "
        f"{process_time() - busy_s:.0f} of the processor; broken: {broken}"
    )
    return 1 if broken else 0


if __name__ == "__main__":
    raise SystemExit(main())
