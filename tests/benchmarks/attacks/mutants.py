"""Thousands of damaged workbooks: how many end in a table, in a sentence, or in an error; how long, how much memory.

``python -m tests.benchmarks.attacks.mutants --count 3500 --seed 1``
"""

import argparse
import random
import resource
from collections import Counter
from time import perf_counter

from fulfil.files.rows.table import read_table
from tests.files.test_damaged_workbooks import mutant, ods, ods_row, xlsx


def main() -> None:
    """Reads the mutants and says what became of them."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--count", type=int, default=3_500)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    chance = random.Random(given.seed)
    whole = {"xlsx": xlsx(is_saved=True), "ods": ods(ods_row("number", "pieces"), ods_row("00123", "5"))}
    ended: Counter[str] = Counter()
    longest = 0.0
    for count in range(given.count):
        kind = ("xlsx", "ods")[count % 2]
        raw = mutant(whole[kind], chance)
        began = perf_counter()
        try:
            table = read_table(raw, f"mutant.{kind}")
            ended["sentence" if table.findings else "table"] += 1
        except Exception as trouble:
            ended[f"error {type(trouble).__name__}"] += 1
        longest = max(longest, perf_counter() - began)
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"seed {given.seed}: {dict(ended)}; longest {longest:.2f} s, {memory:.0f} MB")


if __name__ == "__main__":
    main()
