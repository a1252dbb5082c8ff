"""A shop on a disk that is full, or that may only be read: is anything lost, half written, or said in strange words?

    sudo python -m tests.benchmarks.faults.media --seeds 1 20

Each seed is a harbour shop (:mod:`tests.harbour_shop`) on a memory disk (tmpfs) of its own, which only root may mount,
with a chance little room beside the shop. Orders come in, are planned and released until the disk is full; then the
books are verified, whatever was told must be there, the disk gets room, and the step that was refused is asked for
again. At last the disk may only be read: the shop is refused in words, and afterwards the books are what they were.
"""

import argparse
import random
import subprocess
import tempfile
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from fulfil.errors import Refusal
from fulfil.orders.verify import verify_shop
from fulfil.records.order import Order
from fulfil.store.shop import Shop, open_shop
from tests.harbour_shop import NOW, key, open_harbour, plan, release

STEPS = 200
ROOM_KB = (100, 900)
"""How little room a disk has beside the shop."""


def _mount(*words: str) -> None:
    subprocess.run(["mount", *words], check=True, capture_output=True)


def _steps(shop: Shop, folder: Path, chance: random.Random, number: str) -> tuple[str, Callable[[], object]]:
    what = chance.choice(["key", "key", "plan", "release"])
    if what == "key":
        part, pieces = chance.choice(["SPRING-2", "REED-A", "FELT-9"]), chance.randint(1, 3)
        return what, lambda: key(shop, number, (part, pieces))
    return what, (lambda: plan(shop)) if what == "plan" else (lambda: release(shop, folder, at=NOW))


def _wrong(shop: Shop, keyed: list[str]) -> list[str]:
    with shop.reading() as books:
        there = {order.number for order in books.find(Order)}
    return [str(one) for one in verify_shop(shop)] + [
        f"{one} was keyed and is gone" for one in keyed if one not in there
    ]


def _on(disk: Path, seed: int, ended: Counter[str]) -> list[str]:
    """One seed, on a disk that is mounted: what is wrong."""
    chance, keyed = random.Random(seed), []
    with open_harbour(disk) as shop:
        used_kb = sum(path.stat().st_size for path in disk.rglob("*") if path.is_file()) // 1024
        _mount("-o", f"remount,size={used_kb + chance.randint(*ROOM_KB)}k", str(disk))
        wrong, full = [], False
        for step in range(STEPS):
            number = f"M{seed}-{step}"
            what, do = _steps(shop, disk, chance, number)
            try:
                do()
                keyed += [number] if what == "key" else []
                ended[what] += 1
            except (Refusal, OSError) as trouble:
                ended[f"{what} refused: {str(trouble).partition('expected')[2][:60].strip()}"] += 1
                if "space" in str(trouble):
                    full = True
                    break
        wrong += _wrong(shop, keyed)
        ended["full"] += full
        _mount("-o", "remount,size=64m", str(disk))
        if full:
            do()
            keyed += [number] if what == "key" else []
            wrong += _wrong(shop, keyed)
    _mount("-o", "remount,ro", str(disk))
    try:
        with open_shop(disk / "harbour.db", wait_s=1) as shop:
            key(shop, "TOO-LATE", ("FELT-9", 1))
        wrong.append("written on a disk that may only be read")
    except Refusal as refused:
        ended[f"read-only: {str(refused).partition('expected')[2][:60].strip()}"] += 1
    _mount("-o", "remount,rw", str(disk))
    with open_shop(disk / "harbour.db", wait_s=1) as shop:
        wrong += _wrong(shop, keyed)
    return wrong


def main() -> int:
    """Fills disks, and says what came of it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seeds", nargs=2, type=int, default=(1, 20), metavar=("FIRST", "LAST"))
    given = parser.parse_args()
    ended: Counter[str] = Counter()
    broken: dict[int, list[str]] = {}
    for seed in range(given.seeds[0], given.seeds[1] + 1):
        with tempfile.TemporaryDirectory() as folder:
            _mount("-t", "tmpfs", "-o", "size=64m", "shop", folder)
            try:
                wrong = _on(Path(folder), seed, ended)
            except Exception as trouble:
                wrong = [f"{type(trouble).__name__}: {trouble}"]
            finally:
                subprocess.run(["umount", folder], check=True)
        if wrong:
            broken[seed] = wrong
            print(f"seed {seed}: {wrong[:5]}", flush=True)
    print(f"seeds {given.seeds[0]} to {given.seeds[1]}: {dict(sorted(ended.items()))}; broken: {sorted(broken)}")
    return 1 if broken else 0


if __name__ == "__main__":
    raise SystemExit(main())
