"""Published batching instances: our plan, the best known value, the gap, our bound, seconds; one by one and in sum.

Run ``python -m tests.benchmarks.instances FOLDER BEST.csv``. FOLDER is a folder or a .tar.gz archive of text files in
the format of the single-block instance collections (header ``KEY : VALUE``, then articles, stock places, orders);
BEST.csv has the columns ``filename``, ``UB``, ``opt?`` and, perhaps, ``policy`` (only rows of the policy ``optimal``
count). The sets that this was written for: Bahceci & Oncan (2021); Henn, Koch, Doerner, Strauss & Waescher (2010)
and Henn & Waescher (2012).

What is read with care: cell 0 lies nearest the *top* cross aisle; files are Latin-1; a thousands dot in UB (3.077 for
3077) is recognised by the plan's own length; the same file name in two halves of a set is told apart by the words of
its path. A plan below a value marked as proven is reported as ``BELOW``: first of all a reading error.
"""

import argparse
import csv
import math
import re
import sys
import tarfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from fulfil.errors import Refusal
from fulfil.planning.batching import plan_batches
from fulfil.planning.proving.proof import prove
from fulfil.planning.walks import Stop, Walks
from fulfil.room.kernel import BlockWalks

UNITS_PER_MM = 1000
"""Instances have lengths without unit, mostly metres: one is stored as 1000 mm."""


@dataclass(frozen=True)
class Instance:
    """One file: a block, its orders with stops and weights, and the capacity of a cart; lengths in thousandths."""

    name: str
    path: str
    aisle_x_mm: tuple[int, ...]
    length_mm: int
    bench_aisle: int
    approach_mm: int
    orders: tuple[tuple[Stop, ...], ...]
    weights: tuple[int, ...]
    capacity: int

    def evaluator(self, orders: Sequence[Sequence[Stop]]) -> Walks:
        """The block's compiled walks, with the way from the depot to its foot."""
        return BlockWalks.of(self.aisle_x_mm, self.length_mm, self.bench_aisle, orders, self.approach_mm)


@dataclass(frozen=True)
class BestKnown:
    """A row of the results file."""

    words: frozenset[str]
    length: Decimal
    is_proven: bool


class NotReadError(Exception):
    """An instance that this reader doesn't understand."""


def texts(folder: Path) -> Iterator[tuple[str, str]]:
    """Path and text of every instance in a folder or archive, sorted by path."""
    if folder.is_dir():
        for path in sorted(folder.rglob("*.txt")):
            yield str(path.relative_to(folder.parent)), path.read_text(encoding="latin-1")
        return
    with tarfile.open(folder) as archive:
        for member in sorted(archive.getmembers(), key=lambda member: member.name):
            opened = archive.extractfile(member) if member.name.endswith(".txt") else None
            if opened is not None:
                yield member.name, opened.read().decode("latin-1")


def parse(path: str, text: str) -> Instance:
    """Read one instance."""
    lines = [line.strip() for line in text.splitlines() if line.strip()]
    header = {key.strip(): value.strip() for key, _, value in (line.partition(":") for line in lines) if value}
    if header.get("LAYOUT", "single-block") != "single-block":
        raise NotReadError(f"layout {header['LAYOUT']}")

    def thousandths(key: str, default: str | None = None) -> int:
        scaled = Decimal(header[key] if default is None else header.get(key, default)) * UNITS_PER_MM
        if scaled != scaled.to_integral_value():
            raise NotReadError(f"{key} {header[key]} is finer than a thousandth")
        return int(scaled)

    cells = int(header["NUM_CELLS"])
    to_cell, top, bottom = (thousandths(f"DISTANCE_{what}_TO_CELL") for what in ("CELL", "TOP", "BOTTOM"))
    length_mm = bottom + (cells - 1) * to_cell + top
    flipped = header.get("DEPOT_LOCATION", "bottom") == "top"
    weight: dict[str, int] = {}
    stop: dict[str, Stop] = {}
    orders: list[list[Stop]] = []
    weights: list[int] = []
    section = ""
    for line in lines:
        if line.endswith("_SECTION"):
            section = line
        elif section == "ORDER_SECTION" and line.startswith("NUM_ARTICLES_IN_ORDER"):
            orders.append([])
            weights.append(0)
        elif line.startswith("ID "):
            words = line.split()
            entry = dict(zip(words[::2], words[1::2], strict=True))
            if section == "ARTICLE_SECTION":
                weight[entry["ID"]] = int(entry["WEIGHT"])
            elif section == "SKU_SECTION":
                y_mm = bottom + (cells - 1 - int(entry["CELL"])) * to_cell
                stop[entry["ID"]] = (int(entry["AISLE"]), length_mm - y_mm if flipped else y_mm)
            elif section == "ORDER_SECTION":
                orders[-1].append(stop[entry["ID"]])
                weights[-1] += weight[entry["ID"]] * int(entry["QUANTITY"])
    pitch = thousandths("DISTANCE_AISLE_TO_AISLE")
    aisles, bench_aisle = int(header["NUM_AISLES"]), int(header["DEPOT_AISLE"])
    if not orders or not all(orders) or len(orders) != _stated(lines, "NUM_ORDERS"):
        raise NotReadError(f"{len(orders)} orders, some of them perhaps without articles, or fewer than stated")
    if pitch < 0 or min(to_cell, top, bottom) < 0 or not 0 <= bench_aisle < aisles:
        raise NotReadError(f"a distance below 0, or depot aisle {bench_aisle} of {aisles}")
    for identity, (aisle, y_mm) in stop.items():
        if not 0 <= aisle < aisles or not 0 <= y_mm <= length_mm:
            raise NotReadError(f"article {identity} lies outside the room")
    if min(weights) < 0:
        raise NotReadError("a weight below 0")
    return Instance(
        name=re.split(r"[\\/]", path)[-1],
        path=f"{path} {header.get('NAME', '')}",
        aisle_x_mm=tuple(pitch * aisle for aisle in range(aisles)),
        length_mm=length_mm,
        bench_aisle=bench_aisle,
        approach_mm=2 * thousandths("DISTANCE_TOP_OR_BOTTOM_TO_DEPOT", "0"),
        orders=tuple(tuple(order) for order in orders),
        weights=tuple(weights),
        capacity=int(header["PICKER_CAPACITY"]),
    )


def _stated(lines: Sequence[str], key: str) -> int:
    """A count that the body states."""
    return next(int(line.partition(":")[2]) for line in lines if line.startswith(key))


def words_of(path: str) -> frozenset[str]:
    """The words of a path, for telling equal file names apart."""
    return frozenset(re.findall(r"[a-z]+", path.lower()))


def best_known(path: Path) -> dict[str, list[BestKnown]]:
    """The rows of a results file by file name."""
    rows: dict[str, list[BestKnown]] = {}
    with path.open(encoding="latin-1", newline="") as opened:
        for row in csv.DictReader(opened):
            if row.get("policy", "optimal") == "optimal" and row["UB"]:
                name = re.split(r"[\\/]", row["filename"])[-1]
                known = BestKnown(words_of(row["filename"]), Decimal(row["UB"]), row["opt?"].upper() == "TRUE")
                rows.setdefault(name, []).append(known)
    return rows


def matched(instance: Instance, rows: Sequence[BestKnown], length_mm: int) -> tuple[float, bool] | None:
    """Best known length, in the instance's units, and whether it is proven; None without a row of its own."""
    if not rows:
        return None
    words = words_of(instance.path)
    row = max(rows, key=lambda known: len(known.words & words))
    ours = length_mm / UNITS_PER_MM
    best = float(row.length)
    if best > 0 and abs(math.log(best * 1000 / ours)) < abs(math.log(best / ours)):
        return float(round(best * 1000)), row.is_proven
    return round(best, 6), row.is_proven


@dataclass
class Totals:
    """Sums over the instances."""

    instances: int = 0
    proven: int = 0
    equal: int = 0
    above_one_per_cent: int = 0
    gap_sum: float = 0.0
    worst: float = 0.0
    below_proven: int = 0
    unproven: int = 0
    better: int = 0
    bound_gap_sum: float = 0.0
    bounds_closed: int = 0
    plan_seconds: float = 0.0
    proof_seconds: float = 0.0


def run(instance: Instance, rows: Sequence[BestKnown], options: argparse.Namespace, totals: Totals) -> str:
    """Plan, bound and compare one instance; returns its line."""
    begun = time.perf_counter()
    plan = plan_batches(
        instance, instance.orders, capacity=instance.capacity, weights=instance.weights, effort=options.effort
    )
    planned = time.perf_counter()
    proof = prove(plan, seconds=options.seconds)
    proven = time.perf_counter()
    ours = plan.length_mm / UNITS_PER_MM
    totals.instances += 1
    totals.plan_seconds += planned - begun
    totals.proof_seconds += proven - planned
    totals.bound_gap_sum += proof.gap
    totals.bounds_closed += proof.closed
    best = matched(instance, rows, plan.length_mm)
    told, gap_told, remark = "-", "-", ""
    if best is not None:
        length, is_proven = best
        gap = ours / length - 1.0
        told, gap_told = f"{length:g}{'*' if is_proven else ''}", f"{100 * gap:.2f}"
        if is_proven:
            totals.proven += 1
            totals.equal += abs(gap) < 1e-9
            totals.above_one_per_cent += gap > 0.01
            totals.gap_sum += gap
            totals.worst = max(totals.worst, gap)
            if gap < -1e-9:
                totals.below_proven += 1
                remark = "BELOW"
        else:
            totals.unproven += 1
            totals.better += gap < -1e-9
    bound = f"{proof.bound_mm / UNITS_PER_MM:g}{'' if proof.closed else ' open'}"
    return (
        f"{instance.name} {ours:g} {told} {gap_told} {bound} {100 * proof.gap:.2f} "
        f"{planned - begun:.2f} {proven - planned:.2f} {remark}".rstrip()
    )


def main(arguments: Sequence[str] | None = None) -> None:
    """Read, plan, bound, print."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks.instances", description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("best", type=Path, nargs="?")
    parser.add_argument("--effort", default="normal")
    parser.add_argument("--seconds", type=float, default=5.0, help="for the bound of one instance; 0 for none")
    parser.add_argument("--every", type=int, default=1, help="only every so many instances, by path")
    options = parser.parse_args(arguments)
    rows = best_known(options.best) if options.best else {}
    totals = Totals()
    left_out = 0
    print("instance plan best(*=proven) gap_% bound plan_above_bound_% plan_s bound_s")
    for number, (path, text) in enumerate(texts(options.folder)):
        if number % options.every:
            continue
        name = re.split(r"[\\/]", path)[-1]
        try:
            instance = parse(path, text)
            print(run(instance, rows.get(instance.name, ()), options, totals), flush=True)
        except (NotReadError, Refusal, ArithmeticError, LookupError, StopIteration, TypeError, ValueError) as trouble:
            left_out += 1
            print(f"{name} left out: {trouble!r}", flush=True)
    count = max(1, totals.instances)
    print(
        f"{totals.instances} instances, {left_out} left out; proven best known {totals.proven}: equal {totals.equal}, "
        f"mean gap {100 * totals.gap_sum / max(1, totals.proven):.3f} %, worst {100 * totals.worst:.2f} %, "
        f"above 1 % {totals.above_one_per_cent}, below {totals.below_proven}; "
        f"not proven {totals.unproven}: better {totals.better}; "
        f"mean above our bound {100 * totals.bound_gap_sum / count:.2f} %, bounds closed {totals.bounds_closed}; "
        f"plans {totals.plan_seconds:.1f} s, bounds {totals.proof_seconds:.1f} s"
    )
    if totals.below_proven:
        sys.exit(1)


if __name__ == "__main__":
    main()
