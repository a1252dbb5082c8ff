"""A shop as pandas frames: which parts are asked for, and how many of each the bench scale can count in one bag.

Without a shop of your own it reads the invented demo shop, made in a folder that is gone afterwards:
``python -m fulfil_demo_catalog.examples.read_a_shop picture.png my-shop.sqlite`` reads yours.
"""

import sys
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import matplotlib.pyplot as plt

import fulfil


def demo_frames() -> fulfil.ShopFrames:
    """The demo shop on its morning, read."""
    from fulfil_demo_catalog import FOLDER

    from fulfil.orders.importing import import_orders
    from fulfil.stock.catalogue import import_catalogue

    morning = datetime(2026, 3, 2, 8, tzinfo=UTC)
    with TemporaryDirectory() as folder:
        where = Path(folder) / "shop.sqlite"
        with fulfil.open_shop(where, create=True) as shop:
            import_catalogue(shop, FOLDER, at=morning, person="mara")
            import_orders(shop, FOLDER / "orders.csv", at=morning, person="mara")
        return fulfil.read_shop(where)


frames = fulfil.read_shop(sys.argv[2]) if len(sys.argv) > 2 else demo_frames()

asked = frames.lines.groupby("part_number")["pieces"].sum().sort_values(ascending=False)
times = frames.lines["part_number"].value_counts()
share = times.cumsum() / times.sum()
print(f"{len(frames.orders)} orders with {len(frames.lines)} lines ask for {len(times)} of {len(frames.parts)} parts.")
print(f"Half of the lines ask for {(share <= 0.5).sum()} parts.")

weights = frames.unit_weights.reset_index(level="lot")
weights = weights[weights["mean_g"] > 0].join(asked, on="part_number", how="inner")
weights["largest_count"] = fulfil.largest_count(
    unit_weight_g=weights["mean_g"], unit_weight_u_g=weights["u_g"], piece_sd_g=weights["piece_sd_g"],
    indication_u_g=0.012, tare_u_g=0.02,
)  # fmt: skip
light = weights["largest_count"] == 0
print(f"{light.sum()} of them no bag can hold by weight: too light for this scale, or not known well enough.")
print(weights[["mean_g", "u_g", "pieces", "largest_count"]].sort_values("pieces").tail(5).round(6).to_string())

figure, (curve, counts) = plt.subplots(1, 2, figsize=(10, 4), layout="constrained")
curve.plot(range(1, len(share) + 1), 100 * share.to_numpy(), "k-")
curve.set(title="Lines, by the parts asked for most", xlabel="parts", ylabel="% of lines", ylim=(0, 100))
counts.loglog(weights["mean_g"][~light], weights["largest_count"][~light], "k.")
counts.set(title="Largest count on a scale with u = 0.012 g", xlabel="unit weight (g)", ylabel="pieces in one bag")
figure.savefig(sys.argv[1] if len(sys.argv) > 1 else "read_a_shop.png", dpi=110)
