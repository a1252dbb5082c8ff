"""A day at the benches, driven through the real program in a pseudo-terminal, with planted mistakes and kills."""

import os
import pty
import re
import select
import signal
import sqlite3
import subprocess
import sys
import time
import tty
from decimal import Decimal
from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_demo_catalog import FOLDER

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.saying import Say
from fulfil.orders.holding import resume_order
from fulfil.records.bench import Recount, SentBackFor
from fulfil.records.order import Order, OrderState
from fulfil.records.part import UnitWeight
from fulfil.records.plan import Bag, BagState
from fulfil.records.weighing import Verdict, WeighedKind, WeighingRecord
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop, right_weight

ORDERS, BAGS = 100, 6
SECONDS = 30.0


class Terminal:
    """The program in a pseudo-terminal; at the lines in ``kills`` it is killed after so many milliseconds."""

    def __init__(self, shop: Path, verb: str, kills: dict[int, int], more: tuple[str, ...] = ()) -> None:
        self.shop, self.verb, self.kills, self.more = shop, verb, kills, more
        self.sent = 0
        self.killed = 0
        self.banner = self._start()

    def _start(self) -> str:
        self.terminal, theirs = pty.openpty()
        command = [
            sys.executable, "-c", "from fulfil_cli.main import main; main()", "bench", self.verb, "--shop",
            str(self.shop), "--by", "anna", "--at", AT.isoformat(), "--frozen-time", "--quiet", "--plain", *self.more,
        ]  # fmt: skip
        environment = {**os.environ, "PYTHONUNBUFFERED": "1"}
        self.program = subprocess.Popen(
            command, stdin=theirs, stdout=theirs, stderr=theirs, env=environment, close_fds=True
        )
        os.close(theirs)
        return self.read()

    def read(self) -> str:
        """What the program says, up to its next prompt."""
        said = ""
        until = time.monotonic() + SECONDS
        while not said.endswith("> "):
            ready, _, _ = select.select([self.terminal], [], [], max(0.0, until - time.monotonic()))
            assert ready, f"no prompt after: {said}"
            said += os.read(self.terminal, 65536).decode()
        return said

    def send(self, line: str) -> str:
        """Types a line; after a kill, the answer is what the program says when it is started again."""
        self.sent += 1
        os.write(self.terminal, f"{line}\n".encode())
        if self.sent in self.kills:
            time.sleep(self.kills[self.sent] / 1000)
            os.kill(self.program.pid, signal.SIGKILL)
            self.program.wait()
            os.close(self.terminal)
            self.killed += 1
            return self._start()
        return self.read()

    def close(self) -> int:
        """Leaves by the command and gives the exit code."""
        os.write(self.terminal, b"leave\n")
        code = self.program.wait(SECONDS)
        os.close(self.terminal)
        return code


class Direct:
    """The same bench without a terminal, never killed."""

    def __init__(self, bench: CheckBench | PackBench) -> None:
        self.bench = bench
        self.banner = self._text(bench.open())

    def _text(self, say: Say) -> str:
        return "\n".join([say.big, say.headline, *say.lines])

    def send(self, line: str) -> str:
        """The answer to a line."""
        return self._text(self.bench.enter(line, at=AT))


def check_one(station: Terminal | Direct, code: str, reading: str) -> None:
    """What a checker does with one bag, going on from whatever the bench says; one verdict."""
    said = station.send(code)
    for _ in range(12):
        if f"Bag {code} in hand" in said:
            said = station.send(reading)
        elif "Look: 'ok' or 'no'" in said:
            said = station.send("ok")
        elif re.search(rf"Bag {code} (weighs|counted|looks wrong)|Last verdict here: bag {code}|is held", said):
            return
        else:
            said = station.send(code)
    raise AssertionError(said)


def first_readings(number: int, bag: Bag, unit_g: float) -> list[str]:
    """The readings of a bag, check by check: wrong ones as planted, the right one last."""
    right = right_weight(bag) if bag.target_g else str(bag.pieces)
    short = f"{bag.target_g - round(Decimal(unit_g), 2):.2f}" if bag.target_g else str(bag.pieces - 1)
    if number == 100:
        return [short, short, short, right]
    if number % 29 == 0:
        return ["looks wrong another finish", right]
    return [short, right] if number % 17 == 0 else [right]


def check_all(station: Terminal | Direct, shop_path: Path) -> None:
    """Checks every bag in the order of the carts; what went back comes again after the round."""
    with open_shop(shop_path) as shop, shop.reading() as books:
        bags = books.find(Bag)
        units = {weight.part_number: weight.mean_g for weight in books.find(UnitWeight)}
    waiting = [(bag, first_readings(n, bag, units[bag.part_number])) for n, bag in enumerate(bags, start=1)]
    for turn in range(4):
        waiting = [(bag, readings) for bag, readings in waiting if turn < len(readings)]
        if turn == 3:
            with open_shop(shop_path) as shop:
                for bag, _ in waiting:
                    resume_order(shop, bag.order_number, at=AT, person="chief")
        for bag, readings in waiting:
            check_one(station, bag.code, readings[turn])


def pack_all(station: Terminal | Direct, orders: list[str]) -> None:
    """Packs every order; of every ninth the first weight lacks a bag's mass."""
    for place, number in enumerate(orders):
        said = station.send(number)
        for _ in range(60):
            if f"Order {number} is packed" in said or "isn't sealed" in said or "is packed already" in said:
                break
            following = re.search(r"next (B[0-9]+)\.|-- +(B[0-9]+)", said)
            expected = re.search(r"expect ([0-9]+) g", said)
            if "Scan a checked order" in said:
                said = station.send(number)
            elif following:
                said = station.send(following[1] or following[2])
            elif expected:
                is_off = place % 9 == 4 and "STOPPED" not in station.send("show")
                said = station.send(str(int(expected[1]) - (30 if is_off else 0)))
            else:
                said = station.send("show")
        else:
            raise AssertionError(said)


def state_of(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Everything that the shop's tables hold."""
    connection = sqlite3.connect(path)
    names = [name for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
    state = {name: sorted(connection.execute(f"SELECT * FROM {name}"), key=repr) for name in sorted(names)}
    connection.close()
    return state


@pytest.mark.slow
def test_a_killed_bench_ends_in_the_same_state_as_an_undisturbed_one(tmp_path):
    """600 bags, planted mistakes, five kills -9 at awkward moments: every table is the same in the end."""
    disturbed, undisturbed = tmp_path / "killed.sqlite", tmp_path / "plain.sqlite"
    for path in (disturbed, undisturbed):
        orders = list(bench_shop(path, orders=ORDERS, bags=BAGS, part_count=120))

    with open_shop(undisturbed) as shop:
        check_all(Direct(CheckBench(shop, "check-1", person="anna")), undisturbed)
        pack_all(Direct(PackBench(shop, "pack-1", person="anna")), orders)
    check = Terminal(disturbed, "check", {201: 0, 348: 3, 517: 12})
    check_all(check, disturbed)
    codes = [check.close()]
    pack = Terminal(disturbed, "pack", {77: 2, 300: 8})
    pack_all(pack, orders)
    codes.append(pack.close())

    assert (check.killed, pack.killed, codes) == (3, 2, [0, 0])
    ended, wanted = state_of(disturbed), state_of(undisturbed)
    assert {name: rows for name, rows in ended.items() if rows != wanted[name]} == {}
    with open_shop(disturbed) as shop, shop.reading() as books:
        assert {bag.state for bag in books.find(Bag)} == {BagState.PACKED}
        assert {order.state for order in books.find(Order)} == {OrderState.PACKED}
        slips = books.find(Recount)
        assert {slip.sent_back_for for slip in slips} == set(SentBackFor) - {SentBackFor.DAMAGE}
        assert [slip.which for slip in slips if slip.bag_code == "B2603020100"] == [1, 2, 3]
        assert books.count(WeighingRecord, kind=WeighedKind.PACKAGE, verdict=Verdict.STOP) == len(range(4, ORDERS, 9))


@pytest.mark.slow
def test_a_first_time_reader_checks_and_packs_three_orders_by_keyboard(tmp_path, monkeypatch):
    """The demo shop's three orders from telephone and post: what to type is what the benches show."""
    monkeypatch.setenv("FULFIL_SHOP", str(tmp_path / "shop.sqlite"))

    def fulfil(*words: str) -> None:
        ran = CliRunner().invoke(main, words)
        assert ran.exit_code == 0, ran.output

    fulfil("shop", "create")
    fulfil("catalogue", "import", str(FOLDER))
    fulfil("orders", "import", str(FOLDER / "orders_phone.json"))
    fulfil("walks", "plan", "--at", AT.isoformat())
    fulfil("walks", "release", "--out", str(tmp_path / "papers"), "--at", AT.isoformat())
    check = Terminal(tmp_path / "shop.sqlite", "check", {})
    check.send("W2603020001")
    for position in ("pos 1", "pos 2", "pos 3"):
        for code in re.findall(r"  bag (B[0-9]+)", check.send(position)):
            shown = check.send(code)
            target = re.search(r"target ([0-9.]+) g", shown)
            said = check.send(target[1] if target else re.search(r"  ([0-9]+) × ", shown)[1])
            assert "PASSED:" in (check.send("ok") if "Look:" in said else said)
    pack = Terminal(tmp_path / "shop.sqlite", "pack", {})
    pack.send("W2603020001")
    for position in ("pos 1", "pos 2", "pos 3"):
        shown = pack.send(position)
        for code in re.findall(r"-- +(B[0-9]+)", shown):
            pack.send(code)
        said = pack.send(re.search(r"expect ([0-9]+) g", shown)[1])

        assert "SEALED:" in said
        assert "is packed for COG: label it, seal it." in said
    assert (check.close(), pack.close()) == (0, 0)


def test_a_scale_that_sends_by_itself_fills_the_weight_in(tmp_path):
    """Over a serial port: swinging, empty, stale and repeated readings are ignored, the bag's own one counts."""
    path = tmp_path / "shop.sqlite"
    codes = bench_shop(path, orders=1, bags=4)["O-1001"]
    scale, port = pty.openpty()
    tty.setraw(port)
    station = Terminal(path, "check", {}, ("--port", os.ttyname(port)))
    with open_shop(path) as shop, shop.reading() as books:
        bags = [books.need(Bag, code) for code in codes]

    def sends(*lines: str) -> None:
        os.write(scale, "".join(f"{line}\r\n" for line in lines).encode())

    sends("0.00 g", f"{bags[2].target_g} g")
    time.sleep(0.2)
    first = station.send(codes[2])
    sends("~ 12.00 g", "0.00 g", f"~ {bags[2].target_g} g", f"{bags[2].target_g} g", f"{bags[2].target_g} g")
    passed = station.read()
    second = station.send(codes[3])
    sends(f"{bags[2].target_g} g", "-0.50 g")
    negative = station.read()
    sends("0.00 g", f"{bags[3].target_g} g")
    also_passed = station.read()

    assert f"Bag {codes[2]} in hand" in first
    assert f"PASSED:\r\nBag {codes[2]} weighs {bags[2].target_g:.2f} g" in passed
    assert f"Bag {codes[3]} in hand" in second
    assert "-0.50 g: a negative weight. Empty the pan, set it to zero" in negative
    assert f"Bag {codes[3]} weighs {bags[3].target_g:.2f} g" in also_passed
    assert station.close() == 0


def test_the_verdict_is_large_and_rings(tmp_path):
    """A passed bag rings once; its word stands in letters of five lines."""
    path = tmp_path / "shop.sqlite"
    codes = bench_shop(path, orders=1, bags=4)["O-1001"]
    with open_shop(path) as shop, shop.reading() as books:
        bag = books.need(Bag, codes[2])
    command = [sys.executable, "-c", "from fulfil_cli.main import main; main()", "bench", "check", "--shop", str(path)]

    ran = subprocess.run(
        command, input=f"{bag.code}\n{bag.target_g:.2f}\n", capture_output=True, text=True, check=True, timeout=SECONDS
    )

    assert ran.stdout.count("\a") == 1
    assert "###    ##    ###   ###  ####  ###" in ran.stdout
    assert "Bench check-1 closed after 2 lines." in ran.stdout
