"""Programs killed with kill -9 at any moment: is anything lost, half written, or done twice when asked again?

    python -m tests.benchmarks.faults.kills --kills 1000 [--seed 1] [--store postgresql]

Each trial is a copy of a harbour shop (:mod:`tests.harbour_shop`) at the stage that a verb needs. The verb runs in a
process of its own, which is killed after a chance part of the time that it took undisturbed. Then the books are
verified; what the killed program had printed as done must be there; the verb is run again, and every table must be
what it is after one undisturbed run (on PostgreSQL but for the running numbers: one that a cut-off transaction took
is not given back, PostgreSQL documentation, "Sequence Manipulation Functions"). *Lost*: said, and not there. *Half*:
the books don't add up, or a step of one transaction is neither undone nor done. *Doubled*: after the second run it is
not what it should be.
"""

import argparse
import os
import random
import shutil
import signal
import sys
import time
import traceback
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from fulfil_cli.main import main as command
from sqlalchemy import create_engine, inspect

from fulfil.despatch.close import Word, settle_all
from fulfil.despatch.pack import plan_packages
from fulfil.despatch.reconcile import reconcile_day
from fulfil.orders.verify import verify_shop
from fulfil.records.plan import Bag
from fulfil.store.safe.chain import NUMBERED
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import DAY, NOW, bags, check, key, open_harbour, pack, plan, release, right, ship

AT = (NOW + timedelta(hours=1)).isoformat()
SECONDS = 60.0
"""After so long an undisturbed program is taken for one that hangs."""
NOT_COMPARED = {"alembic_version", "station_answer", "papers_printed", "seal_link"}
"""A key's kept answer may be missing when its step was killed; a paper that is asked for again is printed twice, and
that is noted. What was done besides is compared row by row; the chain is verified by itself.
"""


@dataclass(frozen=True)
class Verb:
    """A command, the stage of the shop that it needs, and whether all of it is one transaction."""

    stage: str
    words: tuple[str, ...]
    is_one: bool = True

    @property
    def name(self) -> str:
        """Noun and verb."""
        return " ".join(self.words[:2])


def stages(folder: Path) -> tuple[dict[str, Path], list[Verb]]:
    """Files of the shop at each stage, and what can be done with each of them."""
    made: dict[str, Path] = {}
    shop = open_harbour(folder)

    def keep(stage: str) -> None:
        made[stage] = folder / f"{stage}.db"
        with open_shop(made[stage].with_name("harbour.db")) as opened, opened.reading() as books:
            books.count(Bag)
        shutil.copy(folder / "harbour.db", made[stage])

    def checkpointed() -> Shop:
        shop.close()
        return open_shop(folder / "harbour.db", wait_s=5)

    for number, asked in (
        ("K-1", [("SPRING-2", 7), ("REED-A", 3)]),
        ("K-2", [("SCREW-3", 20)]),
        ("K-3", [("CAM-7", 40)]),
    ):
        key(shop, number, *asked)
    shop = checkpointed()
    keep("keyed")
    plan(shop)
    shop = checkpointed()
    keep("planned")
    release(shop, folder)
    shop = checkpointed()
    keep("released")
    bag = bags(shop, order_number="K-1")[0]
    found = right(bag)
    check(shop, "K-1")
    check(shop, "K-2")
    shop = checkpointed()
    keep("checked")
    pack(shop, "K-1")
    waits = plan_packages(shop, "K-2", at=NOW, person="huia").packages[0]
    shop = checkpointed()
    keep("packed")
    ship(shop)
    shop = checkpointed()
    keep("shipped")
    words = [Word(one.code, "looked at", carry_over=True) for one in reconcile_day(shop, day=DAY).open_differences]
    settle_all(shop, words, day=DAY, at=NOW, person="huia")
    shop = checkpointed()
    keep("settled")
    shop.close()
    orders = folder / "orders.csv"
    head = "order,source,received_at,name,street,city,post_code,country,service,currency,line,part,pieces,unit_price"
    rows = [
        f"F-{n},web,2026-07-14T09:00+12:45,Invented {n},1 Quay,Town,8016,NZ,ROAD,NZD,1,SPRING-2,2,0.22"
        for n in range(9)
    ]
    orders.write_text("\n".join([head, *rows]) + "\n")
    light = f"{(bag.lower_g or Decimal(9)) - 1:.2f}"
    key_ = ("--key", "kills-000001")
    out = ("--out", str(folder / "papers"))
    verbs = [
        Verb("released", ("bags", "check", bag.code, "--gross", f"{found.gross_g}", *key_)),
        Verb("released", ("bags", "check", bag.code, "--gross", light, *key_)),
        Verb("released", ("orders", "cancel", "K-1", "--reason", "asked")),
        Verb("released", ("orders", "hold", "K-2", "--reason", "asked")),
        Verb("keyed", ("walks", "plan", "--effort", "none", *key_)),
        Verb("planned", ("walks", "release", *out), is_one=False),
        Verb("keyed", ("orders", "import", str(orders))),
        Verb("keyed", ("orders", "lines", "K-1", "--change-line", "1:9", *out, *key_)),
        Verb("keyed", ("stock", "receive", "TAI-1", "50", "--source", "note 1", *key_)),
        Verb("keyed", ("bins", "count", "TAI-1", "--counted", "250", *key_)),
        Verb("planned", ("shorts", "make", *out), is_one=False),
        Verb("checked", ("packages", "pack", "K-1", *out), is_one=False),
        Verb("packed", ("packages", "weigh", waits.number, "--gross", f"{waits.expected_g}", *key_)),
        Verb("packed", ("manifests", "close", "ROAD", *out, *key_)),
        Verb("shipped", ("claims", "add", "K-1", "--line", "1", "--cause", "short", "--pieces", "1", *key_)),
        Verb("shipped", ("orders", "forget", "--older-than-days", "1", "--at", "2027-01-01T09:00+12:45"), is_one=False),
        Verb("settled", ("day", "close")),
    ]
    return made, verbs


class Store:
    """Where a trial's shop is: a file, or a database on a server of this run."""

    def __init__(self, folder: Path, *, on_server: bool) -> None:
        self.folder, self.on_server = folder, on_server
        if on_server:
            from fulfil.store.safe.archive import export_shop, import_shop
            from tests.on_postgresql import databases

            self.server = databases()
            self._export, self._import = export_shop, import_shop

    def prepare(self, made: dict[str, Path]) -> None:
        """Brings the stages to where trials are copied from."""
        if self.on_server:
            for stage, path in made.items():
                archive = self.folder / f"{stage}.zip"
                self._export(str(path), archive)
                self.server.make(f"stage_{stage}", like="template0")
                self._import(archive, self.where(f"stage_{stage}"))

    def where(self, name: str) -> str:
        """The address of a trial's shop."""
        if self.on_server:
            return self.server.url(name).render_as_string(hide_password=False)
        return str(self.folder / name / "shop.db")

    def copy(self, stage: str, made: dict[str, Path], name: str) -> str:
        """A copy of a stage."""
        if self.on_server:
            self.server.make(name, like=f"stage_{stage}")
        else:
            shutil.rmtree(self.folder / name, ignore_errors=True)
            (self.folder / name).mkdir()
            shutil.copy(made[stage], self.folder / name / "shop.db")
        return self.where(name)


def run(words: Sequence[str], shop: str, said: Path, *, kill_after_s: float | None = None) -> tuple[bool, float]:
    """Runs a command in a process of its own; whether it came to its end, and after how long."""
    began = time.perf_counter()
    said.write_text("")
    child = os.fork()
    if child == 0:
        _be(words, shop, said)
    if kill_after_s is not None:
        time.sleep(kill_after_s)
        ended, _ = os.waitpid(child, os.WNOHANG)
        if ended:
            return True, time.perf_counter() - began
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return False, time.perf_counter() - began
    os.waitpid(child, 0)
    return True, time.perf_counter() - began


def _be(words: Sequence[str], shop: str, said: Path) -> None:
    """The child: the command line itself, its answers in a file."""
    code = 4
    try:
        with said.open("w") as file:
            os.dup2(file.fileno(), 1)
            os.dup2(file.fileno(), 2)
            sys.stdout = os.fdopen(1, "w", closefd=False)
            sys.stderr = os.fdopen(2, "w", closefd=False)
            more = [] if "--at" in words else ["--at", AT]
            command([*words, *more, "--by", "huia", "--shop", shop])
    except SystemExit as left:
        code = left.code if isinstance(left.code, int) else 1
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        os._exit(code)


def apart(ask: Callable[[], str]) -> str:
    """Asks in a process of its own, so that this one never has a database open when it forks."""
    reads, writes = os.pipe()
    child = os.fork()
    if child == 0:
        try:
            answer = ask()
        except BaseException:
            answer = f"! {traceback.format_exc()}"
        with os.fdopen(writes, "w") as pipe:
            pipe.write(answer)
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads) as pipe:
        answer = pipe.read()
    os.waitpid(child, 0)
    return answer


def state_of(shop: str, *known: str) -> str:
    """What all tables hold, as one digest; what can't be read or doesn't add up begins with '!'.

    A state that is known was verified when it was seen first.
    """

    def ask() -> str:
        # Rows as the driver gives them: reading the schema's types first took longer than all the rest of a trial.
        engine = create_engine(shop if "://" in shop else f"sqlite:///{shop}")
        is_server = engine.dialect.name == "postgresql"
        digest = sha256()
        with engine.connect() as connection:
            for table in sorted({*inspect(connection).get_table_names()} - NOT_COMPARED):
                answer = connection.exec_driver_sql(f'SELECT * FROM "{table}"')
                leaves_out = "id" if is_server and table in NUMBERED else ""
                places = [place for place, name in enumerate(answer.keys()) if name != leaves_out]
                rows = [repr([row[place] for place in places]) for row in answer]
                rows = sorted(row for row in rows if "'papers printed'" not in row)
                digest.update("\n".join([table, *rows]).encode())
        if digest.hexdigest() not in known:
            with open_shop(shop) as opened:
                found = verify_shop(opened)
            if found:
                return "! " + "; ".join(map(str, found))
        return digest.hexdigest()

    return apart(ask)


def main() -> int:
    """Kills, and says what came of it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--seconds", type=float, default=1e9)
    parser.add_argument("--store", choices=("sqlite", "postgresql"), default="sqlite")
    given = parser.parse_args()
    chance = random.Random(given.seed)
    ended: Counter[str] = Counter()
    by_verb: Counter[str] = Counter()
    began = time.perf_counter()
    with TemporaryDirectory() as kept:
        folder = Path(kept)
        made, verbs = stages(folder)
        store = Store(folder, on_server=given.store == "postgresql")
        store.prepare(made)
        right_end, lasts = {}, {}
        said = folder / "said.txt"
        for verb in verbs:
            shop = store.copy(verb.stage, made, "undisturbed")
            before = state_of(shop)
            times = [run(verb.words, shop, said)[1]]
            after = state_of(shop)
            if before == after or after.startswith("!"):
                print(f"{verb.name}: does nothing undisturbed: {said.read_text()[:400]} {after[:300]}")
            right_end[verb], lasts[verb] = (before, after), times[0]
        while ended["killed"] < given.kills and time.perf_counter() - began < given.seconds:
            verb = verbs[(ended["killed"] + ended["too late"]) % len(verbs)]
            before, after = right_end[verb]
            shop = store.copy(verb.stage, made, "killed")
            is_done, _ = run(verb.words, shop, said, kill_after_s=chance.uniform(0.2, 1.2) * lasts[verb])
            ended["too late" if is_done else "killed"] += 1
            by_verb[verb.name] += not is_done
            now, told = state_of(shop, before, after), said.read_text()
            kind = "after the commit" if now == after else "before it" if now == before else "between"
            ended[kind] += not is_done
            wrong = ""
            if now.startswith("!") or (kind == "between" and verb.is_one):
                wrong = f"half: {now[:300]}"
            if told.strip() and kind == "before it":
                wrong = f"lost: it had said {told[:200]!r}"
            run(verb.words, shop, said)
            again = state_of(shop, after)
            if again != after:
                wrong = wrong or f"doubled: {said.read_text()[:300]!r} {again[:200]}"
            if (ended["killed"] + ended["too late"]) % 100 == 0:
                print(f"… {dict(ended)}, {time.perf_counter() - began:.0f} s", flush=True)
            if wrong:
                ended["WRONG"] += 1
                print(f"{verb.name} ({verb.words}): {wrong}", flush=True)
    print(f"{given.store}, seed {given.seed}: {dict(ended)}; {time.perf_counter() - began:.0f} s")
    print(f"kills by verb: {dict(sorted(by_verb.items()))}")
    return 1 if ended["WRONG"] else 0


if __name__ == "__main__":
    raise SystemExit(main())
