"""Many sequences of the shop's steps against the independent model of its pieces; prints seeds, steps and result.

    python -m tests.benchmarks.pieces --sequences 2000 --steps 50 --seed 1

Sequences run in blocks, each with a seed of its own, so that one that fails can be run again alone:

    python -m tests.benchmarks.pieces --sequences 50 --steps 50 --seed 17
"""

import argparse
import sys
import traceback
from time import perf_counter, process_time

from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.orders.house import House

BLOCK = 50


class Counting(House):
    """Counts the steps that were taken, of sequences that came to their end."""

    sequences = 0
    taken = 0

    def teardown(self) -> None:
        """Counts, then ends as every sequence does."""
        Counting.sequences += 1
        Counting.taken += self.took_steps
        super().teardown()


def run(sequences: int, steps: int, number: int, *, shrinks: bool) -> str:
    """One block; what failed, or nothing."""
    phases = [Phase.generate, Phase.shrink] if shrinks else [Phase.generate]
    told = settings(
        max_examples=sequences,
        stateful_step_count=steps,
        deadline=None,
        suppress_health_check=[*HealthCheck],
        database=None,
        phases=phases,
        print_blob=False,
        report_multiple_bugs=False,
    )

    @seed(number)
    class Block(Counting):
        """This block's sequences."""

    try:
        run_state_machine_as_test(seed(number)(Block), settings=told)
    except Exception:
        return traceback.format_exc()
    return ""


def main() -> int:
    """Runs all blocks; 1 when one of them failed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--sequences", type=int, default=200)
    parser.add_argument("--steps", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--no-shrink", action="store_true", help="Say that a block fails, not its shortest sequence.")
    told = parser.parse_args()
    began, failed = perf_counter(), []
    for place, first in enumerate(range(0, told.sequences, BLOCK)):
        number = told.seed + place
        count = min(BLOCK, told.sequences - first)
        before, at = Counting.taken, process_time()
        trouble = run(count, told.steps, number, shrinks=not told.no_shrink)
        steps = Counting.taken - before
        per = 1000 * (process_time() - at) / max(1, steps)
        print(f"seed {number}: {count} sequences of {told.steps}, {steps} steps taken, {per:.1f} CPU ms a step: "
              f"{'FAILED' if trouble else 'right'}", flush=True)  # fmt: skip
        if trouble:
            failed.append(number)
            print(trouble, flush=True)
    print(
        f"{Counting.sequences} sequences, {Counting.taken} steps taken (refused ones not counted) in "
        f"{perf_counter() - began:.0f} s; seeds {told.seed} to {told.seed + max(0, told.sequences - 1) // BLOCK}; "
        f"failed: {', '.join(map(str, failed)) or 'none'}"
    )
    return bool(failed)


if __name__ == "__main__":
    sys.exit(main())
