"""A year of one part's weighings, with new plating from July on: when do the charts notice, and what do they say?

A bag of fifty on each of 250 days on one scale, beside two other parts; from day 125 on the part is 0.15 % heavier
(invented, seed 11). An alarm asks for a new sample: it never changes a unit weight by itself.
"""

import sys

import matplotlib.pyplot as plt
import numpy as np

from fulfil.weighing.learning.drift import CHART_SETTINGS, cusum, drift_alarms, ewma

DAYS, CHANGED, PIECES = 250, 125, 50
PARTS = ("BELL-12", "GEAR-24", "PIN-3")
UNIT_G = {"BELL-12": 0.9, "GEAR-24": 3.6, "PIN-3": 0.32}
NOISE_G = 0.03
chance = np.random.default_rng(11)

rows = [(day, part) for day in range(DAYS) for part in PARTS]
expected_g = np.array([PIECES * UNIT_G[part] for _, part in rows])
sd_g = np.sqrt(PIECES * (expected_g / PIECES * 0.01) ** 2 + NOISE_G**2)
truly = np.array([1.0015 if part == "BELL-12" and day >= CHANGED else 1.0 for day, part in rows])
residual_g = expected_g * (truly - 1) + chance.normal(0, sd_g)

alarms = drift_alarms(
    part_numbers=[part for _, part in rows], lots=["L1"] * len(rows), scales=["BENCH-1"] * len(rows),
    residual_g=residual_g, expected_g=expected_g, sd_g=sd_g,
)  # fmt: skip
print(f"Changed on day {CHANGED}.")
for alarm in (one for one in alarms if one.subject_kind == "part"):
    print(f"Day {rows[alarm.row][0]}, {alarm.chart}, since about day {rows[alarm.since_row][0]}: {alarm.sentence}")

bells = [row for row, (_, part) in enumerate(rows) if part == "BELL-12"]
z = residual_g[bells] / sd_g[bells]
high, low = cusum(z, allowance=CHART_SETTINGS.allowance)
figure, (mean, sums) = plt.subplots(2, 1, figsize=(10, 5), sharex=True, layout="constrained")
mean.plot(z, ".", color="0.7", label="one bag")
mean.plot(ewma(z, weight=CHART_SETTINGS.weight), "k-", label="moving average (EWMA)")
for side in (-1, 1):
    mean.axhline(side * CHART_SETTINGS.ewma_limit, color="k", ls="--")
mean.set(title="BELL-12, in standard deviations of one bag")
mean.legend(loc="upper left")
sums.plot(high, "k-", label="too heavy, summed (CUSUM)")
sums.plot(low, "k:", label="too light, summed")
sums.axhline(CHART_SETTINGS.decision, color="k", ls="--")
sums.axvline(CHANGED, color="0.5", lw=1)
sums.set(xlabel="day", ylim=(0, 4 * CHART_SETTINGS.decision))
sums.legend(loc="upper left")
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "a_year_of_drift.png", dpi=110)
