"""One of each paper with invented data, for choosing settings and for judging by eye.

>>> made = sample_papers(page=Paper.A4, printer_dpi=300)
>>> sorted(made)[:3]
['bag-labels-50x25', 'bag-labels-60x40', 'bag-labels-on-sheets']
>>> all(pdf.startswith(b"%PDF") for pdf in made.values())
True
"""

from fulfil.papers.bench import calibration
from fulfil.records.settings import Paper

from . import bench, day, despatch, orders, stock, walk
from .sample import Sample

CALIBRATION = "calibration"
"""The page that has no sheet: it is drawn, not filled in."""
SAMPLES: dict[str, Sample] = {
    **walk.SAMPLES,
    **bench.SAMPLES,
    **stock.SAMPLES,
    **orders.SAMPLES,
    **despatch.SAMPLES,
    **day.SAMPLES,
}
"""The samples by the names of their files."""


def sample_papers(*, page: Paper, printer_dpi: int) -> dict[str, bytes]:
    """Every paper by the name of its file, made for this page and printer."""
    made = {name: sample.pdf(page=page, printer_dpi=printer_dpi) for name, sample in SAMPLES.items()}
    made[CALIBRATION] = calibration.pdf(page=page)
    return dict(sorted(made.items()))
