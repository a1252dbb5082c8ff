"""How many of these can my scale count? The window of one bag, and what a larger sample and a finer scale buy.

A bearing ball of 0.9 g whose pieces scatter by 1 % (invented), at risks of 0.1 % that a bag one piece off passes and
0.5 % that a right bag is sent back.
"""

import sys

import matplotlib.pyplot as plt
import numpy as np

import fulfil

UNIT_G, PIECE_SD_G, TARE_G, TARE_U_G = 0.9, 0.009, 2.1, 0.02
SAMPLES = np.array([5, 10, 20, 50, 100, 200, 500])

window = fulfil.count_window(
    50, unit_weight_g=UNIT_G, unit_weight_u_g=PIECE_SD_G / 50**0.5, piece_sd_g=PIECE_SD_G, indication_u_g=0.03,
    tare_g=TARE_G, tare_u_g=TARE_U_G, d_g=0.1,
)  # fmt: skip
print(f"Fifty in a bag: accept {window.lower_g:.1f} g to {window.upper_g:.1f} g.")
print(f"One short passes with {window.p_pass_one_short:.1e}, a right bag is sent back with {window.p_reject:.1e}.")

figure, (bell, reach) = plt.subplots(1, 2, figsize=(10, 4), layout="constrained")
bag = fulfil.error_model(
    50, unit_weight_g=UNIT_G, unit_weight_u_g=PIECE_SD_G / 50**0.5, piece_sd_g=PIECE_SD_G, indication_u_g=0.03,
    tare_g=TARE_G, tare_u_g=TARE_U_G,
)  # fmt: skip
gross_g = np.linspace(45.5, 48.7, 600)
for offset, line in ((-1, "--"), (0, "-"), (1, ":")):
    sd_g = bag.spread(offset)
    centre_g = bag.target_g + offset * UNIT_G
    bell.plot(gross_g, np.exp(-(((gross_g - centre_g) / sd_g) ** 2) / 2) / sd_g, "k", ls=line, label=f"{50 + offset}")
bell.axvspan(window.lower_g, window.upper_g, color="0.85", label="window")
bell.set(title="What a bag of 49, 50, 51 weighs", xlabel="gross weight (g)", yticks=[])
bell.set_xlim(right=49.6)
bell.legend(title="pieces", loc="upper right")

for d_g, indication_u_g, marker in ((0.01, 0.005, "o"), (0.1, 0.03, "s"), (1.0, 0.3, "^")):
    most = fulfil.largest_count(
        unit_weight_g=UNIT_G, unit_weight_u_g=PIECE_SD_G / np.sqrt(SAMPLES), piece_sd_g=PIECE_SD_G,
        indication_u_g=indication_u_g, tare_u_g=TARE_U_G,
    )  # fmt: skip
    print(f"d = {d_g:g} g: " + ", ".join(f"sample of {n}: {most_}" for n, most_ in zip(SAMPLES, most, strict=True)))
    reach.plot(SAMPLES, most, "k-", marker=marker, label=f"d = {d_g:g} g")
reach.set(title="Largest count in one bag", xlabel="pieces in the sample", xscale="log", ylabel="pieces")
reach.set_xticks(SAMPLES, [str(n) for n in SAMPLES])
reach.legend()
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "resolve_a_count.png", dpi=110)
