"""The demo day from an empty folder to all papers, and the command line's first answer, each beside a bare Python.

With nothing compiled yet (a new machine's first run) and again with the machine code kept.

    python -m tests.benchmarks.day
"""

import json
import os
import resource
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

COMMAND = [sys.executable, "-c", "from fulfil_cli.main import main; main()"]


def seconds(words: list[str], cache: Path) -> float:
    """Wall-clock seconds of a command with its machine code kept in ``cache``."""
    began = perf_counter()
    ran = subprocess.run(words, env={**os.environ, "NUMBA_CACHE_DIR": str(cache)}, capture_output=True, text=True)
    if ran.returncode:
        raise SystemExit(ran.stderr)
    return perf_counter() - began


def main() -> None:
    """Prints the figures."""
    with TemporaryDirectory() as place:
        cache, out = Path(place) / "cache", Path(place) / "demo"
        bare = min(seconds([sys.executable, "-c", "pass"], cache) for _ in range(5))
        told = min(seconds([*COMMAND, "--help"], cache) for _ in range(5))
        print(f"python: {bare:.3f} s; fulfil --help: {told:.3f} s, {told / bare:.1f} times that")
        for name in ("nothing compiled", "machine code kept"):
            took = seconds([*COMMAND, "demo", "--out", str(out)], cache)
            summary = json.loads((out / "summary.json").read_text(encoding="utf-8"))
            steps = ", ".join(f"{step} {spent:.1f}" for step, spent in summary["seconds"].items())
            print(f"demo, {name}: {took:.1f} s wall ({steps}); {len(summary['papers'])} papers")
    peak_mb = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
    print(f"peak memory of the largest process: {peak_mb:.0f} MB")


if __name__ == "__main__":
    main()
