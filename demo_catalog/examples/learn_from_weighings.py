"""What passed bags teach: a unit weight gets better with every weighing, and a bag can hold more.

Sixty bags of a brass gear (invented: truly 3.045 g, while its first sample of 20 said 3.040 g), weighed on a scale with
d = 0.1 g; drawn with the seed 7.
"""

import sys

import matplotlib.pyplot as plt
import numpy as np

import fulfil
from fulfil.weighing.learning.learning import learn

TRUE_G, PIECE_SD_G, NOISE_G = 3.045, 0.018, 0.035
chance = np.random.default_rng(7)

pieces = np.concatenate([[20], chance.integers(20, 60, size=60)])
net_g = pieces * TRUE_G + chance.normal(0, np.sqrt(pieces * PIECE_SD_G**2 + NOISE_G**2))
net_g[0] = 20 * 3.040  # the sample

steps = [1, 2, 4, 8, 15, 30, 60]
learned = [
    learn(["GEAR-40"] * (n + 1), ["L1"] * (n + 1), pieces[: n + 1], net_g[: n + 1], NOISE_G).unit_weight(
        "GEAR-40", "L1"
    )
    for n in steps
]
most = [
    fulfil.largest_count(
        unit_weight_g=one.unit_weight_g, unit_weight_u_g=one.unit_weight_u_g, piece_sd_g=one.piece_sd_g,
        indication_u_g=NOISE_G, tare_u_g=0.02,
    )
    for one in learned
]  # fmt: skip
for n, one, count in zip(steps, learned, most, strict=True):
    print(f"{n:2} bags: {one.unit_weight_g:.4f} g ± {2 * one.unit_weight_u_g:.4f} g, up to {count} in a bag")

figure, (weight, reach) = plt.subplots(1, 2, figsize=(10, 4), layout="constrained")
weight.errorbar(
    steps, [one.unit_weight_g for one in learned], [2 * one.unit_weight_u_g for one in learned], fmt="ko", capsize=4
)
weight.axhline(TRUE_G, color="0.5", ls="--", label="true")
weight.set(title="Unit weight, with two standard uncertainties", xlabel="bags passed", xscale="log", ylabel="g")
weight.set_xticks(steps, [str(n) for n in steps])
weight.legend()
reach.plot(steps, most, "ks-")
reach.set(title="Largest count in one bag", xlabel="bags passed", xscale="log", ylabel="pieces")
reach.set_xticks(steps, [str(n) for n in steps])
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "learn_from_weighings.png", dpi=110)
