"""The shortest walk beside five rules of thumb: how much longer each is, by how many stops a walk has.

Ten aisles of 30 m, stops anywhere (invented; forty walks for each number of stops, seed 1).
"""

import sys

import matplotlib.pyplot as plt
import numpy as np

import fulfil
from fulfil.room.policies import POLICIES, compare

ROOM = fulfil.Block(aisle_x_mm=tuple(range(0, 30_000, 3_000)), length_mm=30_000)
STOPS = (3, 5, 10, 15, 20, 30, 45)
WALKS = 40
chance = np.random.default_rng(1)


def stops_of_a_walk(n: int) -> list[tuple[int, int]]:
    """Stops anywhere in the room."""
    return [(int(chance.integers(10)), int(y_mm)) for y_mm in chance.integers(500, 29_500, size=n)]


above: dict[str, list[float]] = {policy: [] for policy in POLICIES}
for n in STOPS:
    walks = [compare(ROOM, stops_of_a_walk(n)) for _ in range(WALKS)]
    best_mm = sum(walk[0].length_mm for walk in walks)
    for place, policy in enumerate(POLICIES, start=1):
        above[policy].append(sum(walk[place].length_mm for walk in walks) / best_mm - 1)
print("above the shortest  " + "  ".join(f"{n:2} stops" for n in STOPS))
for policy, shares in above.items():
    print(f"{policy:18}  " + "  ".join(f"{share:8.0%}" for share in shares))

figure, (shares_, floor) = plt.subplots(1, 2, figsize=(10, 4), layout="constrained")
for (policy, shares), line in zip(above.items(), ("-", "--", ":", "-.", (0, (1, 3))), strict=True):
    shares_.plot(STOPS, [100 * share for share in shares], "k", ls=line, label=policy)
shares_.set(title="Longer than the shortest walk", xlabel="stops on a walk", ylabel="%", ylim=(0, 80))
shares_.legend(ncols=2, loc="upper right")
walk = fulfil.shortest_walk(ROOM, stops_of_a_walk(15))
for x_mm in ROOM.aisle_x_mm:
    floor.plot([x_mm / 1000] * 2, [0, 30], color="0.85", lw=6, zorder=1)
floor.plot([x / 1000 for x, _ in walk.path], [y / 1000 for _, y in walk.path], "k-", zorder=2)
floor.plot([ROOM.aisle_x_mm[a] / 1000 for a, _ in walk.stops], [y / 1000 for _, y in walk.stops], "ko", zorder=3)
floor.set(title=f"Shortest through 15 stops: {walk.length_mm / 1000:.0f} m", xlabel="m", ylabel="m", aspect="equal")
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "compare_walking_policies.png", dpi=110)
