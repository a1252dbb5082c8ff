"""A copy of the tiny catalogue that a test may change."""

import shutil
from pathlib import Path

import pytest


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The tiny catalogue's files in a folder of the test's own."""
    return Path(shutil.copytree(Path(__file__).parent / "tiny_catalogue", tmp_path / "catalogue"))
