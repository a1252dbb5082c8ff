"""Which few bins should change places, and what each change would have saved of the last weeks' walks.

Sixty parts in six aisles, two hundred walks of eight stops, a few parts asked for far more often than the others and
kept anywhere (invented, seed 3). Whether a bin fits its new place, and whether it may be lifted there: a person says.
"""

import sys

import matplotlib.pyplot as plt
import numpy as np

import fulfil
from fulfil.room.moves import suggest_moves

ROOM = fulfil.Block(aisle_x_mm=tuple(range(0, 18_000, 3_000)), length_mm=20_000)
chance = np.random.default_rng(3)

places = [(aisle, 1_000 + 2_000 * section) for aisle in range(6) for section in range(10)]
parts = [f"P{number:02}" for number in range(60)]
homes = dict(zip(parts, (places[i] for i in chance.permutation(60)), strict=True))
asked = 1 / np.arange(1, 61) ** 0.8
walks = [[parts[i] for i in chance.choice(60, size=8, replace=False, p=asked / asked.sum())] for _ in range(200)]

walked_mm = sum(ROOM.walk_length_mm([homes[part] for part in walk]) for walk in walks)
moves = suggest_moves(walks, homes, ROOM.walk_length_mm, ROOM.distance_mm, most_moves=6, measured=30)
for move in moves:
    print(
        f"{move.part} from aisle {move.from_[0] + 1}, {move.from_[1] / 1000:g} m to aisle {move.to[0] + 1}, "
        f"{move.to[1] / 1000:g} m, with {move.other_part}: saves {move.saved_mm / walked_mm:.1%}"
    )
saved = np.cumsum([move.saved_mm for move in moves]) / walked_mm
print(f"Together {saved[-1]:.1%} of {walked_mm / 1e6:.1f} km walked.")

figure, (share, floor) = plt.subplots(1, 2, figsize=(10, 4), layout="constrained")
share.step(range(len(saved) + 1), [0, *(100 * saved)], "k-", where="mid")
share.set(title="Walking saved", xlabel="exchanges made", ylabel="%")
for place in places:
    floor.plot(ROOM.aisle_x_mm[place[0]] / 1000, place[1] / 1000, "s", color="0.85")
for rank, move in enumerate(moves, start=1):
    begin, end = (np.array([ROOM.aisle_x_mm[aisle], y_mm]) / 1000 for aisle, y_mm in (move.from_, move.to))
    floor.annotate("", end, begin, arrowprops={"arrowstyle": "->"})
    floor.text(*(begin + (end - begin) * 0.5 + [0.15, 0]), f"{rank}: {move.part}")
floor.set(title="Where the parts should go (bench at 0, 0)", xlabel="m", ylabel="m")
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "which_bins_to_move.png", dpi=110)
