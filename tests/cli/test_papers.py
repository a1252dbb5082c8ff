"""``fulfil papers`` without a shop: samples, calibration, pictures of files; and what it refuses."""

from pathlib import Path

import pytest
from click.testing import CliRunner
from fulfil_cli.main import main


def run(*words):
    """The command's result."""
    return CliRunner().invoke(main, ["papers", *map(str, words)])


def test_samples_are_printed_and_shown(tmp_path):
    """One of each paper; any of them becomes a picture a page, named by page where there are several."""
    made = run("sample", "--out", tmp_path)

    assert made.exit_code == 0
    assert {"pick-list.pdf", "bag-labels-60x40.pdf", "packing-list.pdf"} <= {path.name for path in tmp_path.iterdir()}
    assert run("show", tmp_path / "package-label.pdf", "--out", tmp_path / "label.png", "--dpi", 60).exit_code == 0
    assert (tmp_path / "label.png").read_bytes().startswith(b"\x89PNG")
    shown = run("show", tmp_path / "pick-list.pdf", "--out", tmp_path / "list.png", "--dpi", 40)
    assert shown.exit_code == 0
    assert (tmp_path / "list-1.png").exists()
    assert not (tmp_path / "list.png").exists()


def test_the_calibration_page_is_printed(tmp_path):
    """For Letter too."""
    made = run("calibrate", "--paper", "Letter", "--out", tmp_path / "page.pdf")

    assert made.exit_code == 0
    assert (tmp_path / "page.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("show", "none.pdf", "--out", "x.png"), 2, "Cannot show 'none.pdf': expected a PDF file."),
        (("show", "none.pdf", "--out", "x.jpg"), 2, "expected a name that ends in .png"),
        (("text",), 2, "expected a document, or a walk with --walk, not both"),
        (("text", "W1"), 3, "--shop PATH"),
    ],
)
def test_wrong_use_is_refused(monkeypatch, words, code, says):
    """A file that isn't there, another kind of picture, no document, no shop."""
    monkeypatch.delenv("FULFIL_SHOP", raising=False)
    ran = run(*words)

    assert ran.exit_code == code
    assert says in ran.stderr
    assert not Path("x.png").exists()
