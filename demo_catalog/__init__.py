"""The invented demo shop: its generator and its files.

``FOLDER`` holds the files that README.md of this folder describes. ``python -m fulfil_demo_catalog.generate`` writes
them anew, byte for byte the same.
"""

from pathlib import Path

FOLDER: Path = Path(__file__).parent
