"""What a shop's age costs: every verb of a day in a shop of two days, of five and of many, side by side.

    python -m tests.benchmarks.age --rounds 124          # 250 days of about 100 orders
    python -m tests.benchmarks.age --rounds 174          # 30,000 past orders

Each verb is a command of its own, as people type them. Shown: its processor time, the work of the database (millions
of SQLite's own steps) and the most memory it took; then the ratios of its time to the younger shops'.
"""

import argparse
import csv
import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

NEW_DAY = "2026-03-04"
LAST_DAYS = ("2026-03-02", "2026-03-03")
_RUN = """
import json, resource, sys
from sqlalchemy import event
from sqlalchemy.engine import Engine
steps = [0]
def more():
    steps[0] += 1
    return 0
@event.listens_for(Engine, "connect")
def watch(connection, _):
    connection.set_progress_handler(more, 1000)
from fulfil_cli.main import main
code = 0
try:
    main()
except SystemExit as end:
    code = int(end.code or 0)
used = resource.getrusage(resource.RUSAGE_SELF)
print(json.dumps([code, used.ru_utime + used.ru_stime, steps[0] / 1000, used.ru_maxrss / 1024]), file=sys.stderr)
"""


@dataclass(frozen=True)
class Cost:
    """Processor time, work of the database in millions of steps, most memory."""

    seconds: float
    steps: float
    memory_mb: float


def command(shop: Path, *words: str, at: str = f"{NEW_DAY}T08:00+01:00", given: str = "") -> Cost:
    """Runs one command on the shop."""
    env = {**os.environ, "FULFIL_SHOP": str(shop), "FULFIL_PERSON": "clerk-1"}
    moment = [] if words[:2] == ("shop", "verify") else ["--at", at]
    ran = subprocess.run(
        [sys.executable, "-c", _RUN, *words, *moment], env=env, capture_output=True, text=True, input=given
    )
    told = ran.stderr.strip().splitlines()[-1] if ran.stderr.strip() else ""
    try:
        code, seconds, steps, memory_mb = json.loads(told)
    except ValueError:
        raise SystemExit(f"{' '.join(words)}\n{ran.stdout[-500:]}\n{ran.stderr[-1500:]}") from None
    if code not in (0, 1):
        raise SystemExit(f"{' '.join(words)} ended with {code}\n{ran.stdout[-500:]}\n{ran.stderr[-1500:]}")
    return Cost(seconds, steps, memory_mb)


def base(place: Path) -> Path:
    """Two days of the demo shop, with a carrier's bill, a claim and both days closed."""
    out = place / "week"
    ran = subprocess.run(
        [sys.executable, "-c", "from fulfil_cli.main import main; main()", "demo", "--days", "2", "--out", str(out)],
        capture_output=True, text=True,
    )  # fmt: skip
    if ran.returncode:
        raise SystemExit(ran.stderr)
    shop = out / "shop.sqlite"
    columns = place / "columns.csv"
    columns.write_text("setting,value\npackage_column,package\ncharge_column,charge\ncurrency,EUR\n", encoding="utf-8")
    for day in LAST_DAYS:
        bill = place / f"bill-{day.replace('-', '')[2:]}.csv"
        with closing(sqlite3.connect(shop)) as books, books, bill.open("w", newline="", encoding="utf-8") as file:
            rows = csv.writer(file)
            rows.writerow(["package", "charge"])
            for number, minor in books.execute(
                "SELECT package.number, charge.price_minor + coalesce((SELECT sum(amount_minor) FROM charged_surcharge "
                "s WHERE s.package_number = package.number), 0) FROM package JOIN charge "
                "ON charge.package_number = package.number JOIN manifest ON manifest.number = manifest_number "
                "WHERE manifest.day = ? AND charge.currency = 'EUR' ORDER BY package.number",
                (day,),
            ):
                rows.writerow([number, f"{(minor + (number.endswith('7') and 30)) / 100:.2f}"])
        at = f"{day}T18:00+01:00"
        command(shop, "services", "bill", str(bill), "--columns", str(columns), at=at)
    for day in LAST_DAYS:
        close(shop, day)
    return shop


def close(shop: Path, day: str) -> Cost:
    """Settles whatever differs, and closes the day."""
    at = f"{day}T19:00+01:00"
    env = {**os.environ, "FULFIL_SHOP": str(shop), "FULFIL_PERSON": "clerk-1"}
    asked = [sys.executable, "-c", "from fulfil_cli.main import main; main()", "day", "reconcile", "--at", at, "--json"]
    told = json.loads(subprocess.run(asked, env=env, capture_output=True, text=True).stdout)
    codes = [difference["code"] for difference in told["differences"] if not difference["outcome"]]
    for code in codes:
        command(shop, "day", "settle", code, "--reason", "asked the carrier", "--carry-over", at=at)
    return command(shop, "day", "close", at=at)


def one(shop: Path, query: str) -> str:
    """One value of the shop."""
    with closing(sqlite3.connect(shop)) as books, books:
        found = books.execute(query).fetchone()
    if found is None:
        raise SystemExit(f"nothing found: {query}")
    return str(found[0])


def verbs(out: Path) -> list[tuple[str, Callable[[Path], list[str]]]]:
    """The day's verbs by name, each the words of a command for a shop."""
    walk = f"SELECT number FROM walk WHERE day = '{NEW_DAY}' AND released_at IS NOT NULL ORDER BY number"
    bag = (
        f"SELECT code FROM bag WHERE state = 'planned' AND method = 'weigh' AND walk_number IN ({walk}) "
        "ORDER BY code LIMIT 1 OFFSET {}"
    )
    order = f"SELECT order_number FROM bag WHERE walk_number IN ({walk}) GROUP BY 1 ORDER BY count(*), 1 LIMIT 1"
    waiting = f"SELECT number FROM customer_order WHERE received_at >= '{NEW_DAY}' OR number LIKE '260304%' ORDER BY 1"

    held = "SELECT number FROM customer_order WHERE state = 'held' ORDER BY number DESC"
    full = "SELECT code FROM bin WHERE pieces > 20 ORDER BY code"

    def check(shop: Path, number: int) -> list[str]:
        code = one(shop, bag.format(number))
        gross = float(one(shop, f"SELECT target_g / 1e6 FROM bag WHERE code = '{code}'"))
        return ["bags", "check", code, "--gross", f"{gross:.3f}", "--by", "checker-1"]

    return [
        ("orders import", lambda _: ["orders", "import", f"demo_catalog/week/orders-{NEW_DAY}.csv"]),
        ("orders list", lambda _: ["orders", "list"]),
        ("orders show", lambda shop: ["orders", "show", one(shop, waiting)]),
        ("orders why", lambda shop: ["orders", "why", one(shop, waiting)]),
        ("orders combine", lambda _: ["orders", "combine"]),
        ("orders returns", lambda _: ["orders", "returns"]),
        ("walks plan", lambda _: ["walks", "plan", "--seed", "1", "--effort", "quick"]),
        ("walks release", lambda _: ["walks", "release", "--out", str(out)]),
        ("walks list", lambda _: ["walks", "list"]),
        ("walks begin", lambda shop: ["walks", "begin", one(shop, walk), "--by", "picker-1"]),
        ("shorts list", lambda _: ["shorts", "list"]),
        ("shorts make", lambda _: ["shorts", "make"]),
        ("bags check", lambda shop: check(shop, 0)),
        ("bags check again", lambda shop: check(shop, 1)),
        ("bench mistakes", lambda _: ["bench", "mistakes"]),
        ("orders hold", lambda shop: ["orders", "hold", one(shop, order), "--reason", "the customer called"]),
        ("orders resume", lambda shop: ["orders", "resume", one(shop, held)]),
        ("packages list", lambda _: ["packages", "list"]),
        ("manifests list", lambda _: ["manifests", "list"]),
        ("stock levels", lambda _: ["stock", "levels"]),
        ("stock reorder", lambda _: ["stock", "reorder"]),
        ("stock movement", lambda _: ["stock", "movement"]),
        ("bins count", lambda shop: ["bins", "count", one(shop, full), "--counted", "25"]),
        ("parts learn", lambda _: ["parts", "learn"]),
        ("claims list", lambda _: ["claims", "list"]),
        ("journal show", lambda _: ["journal", "show"]),
        ("day report", lambda _: ["day", "report", "--out", str(out)]),
        ("day reconcile", lambda _: ["day", "reconcile"]),
    ]  # fmt: skip


def costs(shop: Path, out: Path, *, tries: bool) -> dict[str, Cost]:
    """What each verb of the day costs in a shop."""
    told = {}
    for name, words in verbs(out):
        try:
            told[name] = command(shop, *words(shop))
        except SystemExit as trouble:
            if not tries:
                raise
            print(f"{name}: {str(trouble)[-300:]}", flush=True)
    return told


def main() -> None:
    """Prints the table."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rounds", type=int, default=124, help="copies of two days each")
    parser.add_argument("--keep", type=Path, help="where the shops lie; made there when they are missing")
    parser.add_argument("--go-on", action="store_true", help="go on after a verb that fails")
    given = parser.parse_args()
    with TemporaryDirectory() as place:
        kept = given.keep or Path(place)
        kept.mkdir(parents=True, exist_ok=True)
        shop = kept / "week" / "shop.sqlite"
        if not shop.exists():
            base(kept)
        shops = {}
        for name, rounds in (("2 days", 0), ("5 days", 2), (f"{2 + 2 * given.rounds} days", given.rounds)):
            old = Path(place) / f"{rounds}.sqlite"
            made = [
                sys.executable,
                "-m",
                "tests.benchmarks.age.aged_shop",
                str(shop),
                str(old),
                "--rounds",
                str(rounds),
            ]
            subprocess.run(made, check=True)  # by itself: its memory would count as that of the commands
            with closing(sqlite3.connect(old)) as books, books:
                print(
                    f"{name}: {books.execute('SELECT count(*) FROM customer_order').fetchone()[0]} orders", flush=True
                )
            command(old, "shop", "verify")
            shops[name] = costs(old, Path(place) / "papers", tries=given.go_on)
            old.unlink()
        empty, young, aged = shops.values()
        print(f"{'verb':<18}" + "".join(f"{name:>26}" for name in shops) + f"{'time to 5 days, to 2':>22}")
        for verb in aged:
            if verb in young and verb in empty:
                cells = "".join(
                    f"{cost.seconds:>9.2f} s {cost.steps:>6.2f} M {cost.memory_mb:>4.0f} MB"
                    for cost in (empty[verb], young[verb], aged[verb])
                )
                ratios = [aged[verb].seconds / other[verb].seconds for other in (young, empty)]
                print(f"{verb:<18}{cells}{ratios[0]:>14.2f} {ratios[1]:>7.2f}")


if __name__ == "__main__":
    main()
