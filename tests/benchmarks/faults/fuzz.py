"""Nonsense for every reader, bench line and argument: each ends in a value, a finding or a refusal, never in an error.

    python -m tests.benchmarks.faults.fuzz --seconds 600 [--seed 1] [--only files arguments]

Four kinds take turns: *words* for everything that parses one text; *lines* at a check bench and a packing bench of a
small shop; *files* (catalogue, orders, bills as CSV, JSON, workbooks), cut, doubled, flipped and spiced; *arguments* of
every verb of the command line. Printed are cases, the longest time, the memory, and each error once with its text.
"""

import argparse
import io
import json
import os
import random
import resource
import traceback
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

import click
import uvicorn
from click.testing import CliRunner
from fulfil_cli.main import main as command
from fulfil_cli.saying import cleaned, json_text

from fulfil.bench.check_station import CheckBench
from fulfil.bench.pack_station import PackBench
from fulfil.checking.entry import read_entry
from fulfil.counting.told_pours import read_pour
from fulfil.errors import Refusal
from fulfil.files.catalogue import read_catalogue
from fulfil.files.names import file_name
from fulfil.files.orders import read_orders
from fulfil.files.rows.table import read_table
from fulfil.files.spreadsheet import csv_bytes
from fulfil.quantities import keyed_grams, parse_decimal, parse_pieces
from fulfil.standards import (
    code128,
    dangerous_goods,
    edifact,
    gs1,
    hs,
    incoterms,
    iso3166,
    iso4217,
    lithium_batteries,
    public_holidays,
    s10,
)
from fulfil.store.shop import open_shop
from tests.bench_shop import AT, bench_shop
from tests.cli.test_nonsense import TYPED, verbs, words_of
from tests.files.test_damaged_workbooks import mutant, ods, ods_row, xlsx

TINY = Path(__file__).parents[2] / "files" / "tiny_catalogue"
SPICE = (
    "\x00", "\ud800", "\u202e", "\u200f", "\N{CRAB}", "\ufeff", "٣", "²", "1_000", "=1+1", "@SUM(A1)", "-M3", "'", '"',
    ";", ",", "\t", "\r", "\n", "\x1b[2J", "../", "/etc/x", "C:\\", "%s", "{0}", "nan", "inf", "1e999", "9" * 40, "-0",
    "½", "ß", "İ", "e\u0301", "\u2028", " ", "\xa0", "0x10", "#REF!", "*UNDO", "@anna", "#50", "50 pcs", "11 bags",
    "kg", "POS-999", "[", "{", "null",
)  # fmt: skip
WORDS = (
    "B2603020001", "O-1001", "47.10 g", "0,523 kg", "646 g, 11 bags", "reopen a spring", "*POS-3", "SCR-0024",
    "RR473124829GB", "(00)123456789012345675", "8471.30", "NZ", "EUR", "DAP Town", "UN 3481", "DE-HE", "10:1.2",
    "2026-03-02",
)  # fmt: skip
PARSERS: tuple[Callable[[str], object], ...] = (
    read_entry, read_pour, keyed_grams, parse_pieces, file_name, cleaned, json_text, gs1.parse, s10.parse, hs.parse,
    iso3166.parse, iso4217.parse, incoterms.parse, dangerous_goods.parse, dangerous_goods.parse_un_number,
    lithium_batteries.parse, public_holidays.parse, code128.validate, edifact.escape, edifact.plain,
    lambda text: parse_decimal(text, "a number"), lambda text: csv_bytes(["a"], [[text]], for_spreadsheet=True),
)  # fmt: skip
SHARES = {"words": 0.3, "lines": 0.2, "files": 0.3, "arguments": 0.2}


def text_of(chance: random.Random) -> str:
    """A word as it should be, with something in it that should not."""
    text = chance.choice(WORDS) if chance.random() < 0.8 else ""
    for _ in range(chance.randint(0, 4)):
        at = chance.randrange(len(text) + 1)
        match chance.randrange(4):
            case 0:
                text = text[:at] + chance.choice(SPICE) + text[at:]
            case 1:
                text = text[:at] + text[at + chance.randint(1, 5) :]
            case 2:
                text = text[:at] + chr(chance.randrange(1, 0x3000)) + text[at:]
            case _:
                text = (text * chance.choice([1, 2, 2, 500]))[:20_000]
    return text


def bytes_of(raw: bytes, chance: random.Random) -> bytes:
    """A file with bytes flipped, cut, doubled, spiced, or in another encoding."""
    changed = bytearray(raw)
    for _ in range(chance.randint(1, 6)):
        at = chance.randrange(len(changed) + 1)
        match chance.randrange(6):
            case 0:
                changed[at : at + 1] = bytes([chance.randrange(256)])
            case 1:
                del changed[at : at + chance.randint(1, 60)]
            case 2:
                changed[at:at] = changed[at : at + chance.randint(1, 300)]
            case 3:
                changed[at:at] = chance.choice(SPICE).encode("utf-8", "surrogatepass")
            case 4:
                encoding = chance.choice(["utf-16", "cp1252", "cp850"])
                changed = bytearray(changed.decode("utf-8", "replace").encode(encoding, "replace"))
            case _:
                changed = bytearray(changed.replace(b",", chance.choice([b";", b"\t", b"|", b",,"])))
    return bytes(changed)


class Fuzz:
    """The four kinds, each a maker of cases; a case is done by calling it."""

    def __init__(self, chance: random.Random, folder: Path) -> None:
        self.chance, self.folder = chance, folder
        self.shop_path = folder / "shop.sqlite"
        bench_shop(self.shop_path)
        self.books = {"xlsx": xlsx(is_saved=True), "ods": ods(ods_row("number", "pieces"), ods_row("00123", "5"))}
        self.all_verbs = verbs()
        self.shop = open_shop(self.shop_path)
        self.benches = (CheckBench(self.shop, "check-1", person="anna"), PackBench(self.shop, "pack-1", person="bo"))
        for bench in self.benches:
            bench.open()
        self.files = {path.name: path.read_bytes() for path in TINY.iterdir() if path.suffix in (".csv", ".json")}

    def words(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """One text for one parser."""
        while True:
            parser, text = self.chance.choice(PARSERS), text_of(self.chance)
            name = f"{getattr(parser, '__module__', '')}.{getattr(parser, '__name__', '')}"
            yield f"{name}({text[:200]!r})", lambda: parser(text)  # noqa: B023

    def lines(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """One line at one of two benches, which remember what came before."""
        codes = [f"B260302{n:04d}" for n in range(1, 13)] + ["O-1001", "O-1002", "O-1003"]
        while True:
            bench = self.chance.choice(self.benches)
            line = self.chance.choice(codes) if self.chance.random() < 0.3 else text_of(self.chance)[:500]
            yield f"{bench.bench} {line[:200]!r}", lambda: bench.enter(line, at=AT)  # noqa: B023

    def files_(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """One file of a catalogue, of orders, or a workbook."""
        place = self.folder / "files"
        place.mkdir(exist_ok=True)
        while True:
            kind = self.chance.choice(["catalogue", "orders", "orders", "table", "xlsx", "ods"])
            if kind in self.books:
                raw = mutant(self.books[kind], self.chance)
                yield f"{kind} {raw[:80]!r}", lambda: read_table(raw, f"mutant.{kind}")  # noqa: B023
                continue
            name = self.chance.choice(["orders.csv", "orders.json"] if kind == "orders" else sorted(self.files))
            raw = bytes_of(self.files[name], self.chance)
            if kind == "table":
                yield f"table {name} {raw[:200]!r}", lambda: read_table(raw, name)  # noqa: B023
                continue
            for whole, content in self.files.items():
                if kind == "catalogue" or whole == name:
                    (place / whole).write_bytes(raw if whole == name else content)
            read = (lambda: read_orders(place / name)) if kind == "orders" else (lambda: read_catalogue(place))  # noqa: B023
            yield f"{kind} {name} {raw[:200]!r}", read

    def arguments(self) -> Iterator[tuple[str, Callable[[], object]]]:
        """One line of a command; what it leaves with must be one of the codes that it says."""
        groups = {noun: command.get_command(click.Context(command), noun) for noun, _ in self.all_verbs}
        while True:
            noun, verb = self.chance.choice(self.all_verbs)
            group = groups[noun]
            assert isinstance(group, click.Group)
            words = words_of(group.commands[verb], self.chance, self.folder / "out")
            words = [
                text_of(self.chance)[:500] if one in TYPED and self.chance.random() < 0.4 else one for one in words
            ]
            given = [noun, verb, *words, "--shop", str(self.shop_path), "--at", "2026-03-02T10:00+00:00"]
            yield " ".join(map(repr, given))[:400], lambda: self._ask(given)  # noqa: B023

    def _ask(self, given: list[str]) -> None:
        ran = CliRunner().invoke(command, given, input="y\n" * 20)
        if ran.exception is not None and not isinstance(ran.exception, SystemExit):
            raise ran.exception
        if ran.exit_code not in (0, 1, 2, 3, 5):
            raise AssertionError(f"left with {ran.exit_code}: {ran.output[:300]}")


def main() -> int:
    """Tries, and says what came of it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=float, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", nargs="+", choices=sorted(SHARES), default=sorted(SHARES), help="kinds to try")
    given = parser.parse_args()
    whole = sum(SHARES[kind] for kind in given.only)
    chance = random.Random(given.seed)
    uvicorn.run = lambda *_, **__: None  # it would serve until somebody comes
    fast = "/dev/shm" if os.access("/dev/shm", os.W_OK) else None
    errors: Counter[str] = Counter()
    with TemporaryDirectory(dir=fast) as kept, chdir(kept):
        fuzz = Fuzz(chance, Path(kept))
        kinds = {"words": fuzz.words, "lines": fuzz.lines, "files": fuzz.files_, "arguments": fuzz.arguments}
        for kind, make in kinds.items():
            if kind not in given.only:
                continue
            ended: Counter[str] = Counter()
            longest, slowest, began = 0.0, "", perf_counter()
            for case, do in make():
                at = perf_counter()
                if at - began > given.seconds * SHARES[kind] / whole:
                    break
                try:
                    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
                        do()
                    ended["answered"] += 1
                except Refusal:
                    ended["refused"] += 1
                except Exception as trouble:
                    ended["ERROR"] += 1
                    where = traceback.extract_tb(trouble.__traceback__)[-1]
                    name = f"{type(trouble).__name__} at {'/'.join(Path(where.filename).parts[-2:])}:{where.lineno}"
                    if not errors[name]:
                        print(f"{kind}: {name}: {str(trouble)[:200]}\n  {case}", flush=True)
                    errors[name] += 1
                took = perf_counter() - at
                if took > longest:
                    longest, slowest = took, case
            memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
            print(
                f"{kind}: {sum(ended.values()):,} cases {json.dumps(ended)}; longest {longest:.2f} s, {memory:.0f} MB",
                flush=True,
            )
            if longest > 2:
                print(f"  the longest: {slowest}")
    print(f"seed {given.seed}: errors {dict(errors)}")
    return 1 if errors else 0


if __name__ == "__main__":
    raise SystemExit(main())
