"""``fulfil printers``: a label printer set, its label printed, measured, moved; a paper that goes to nobody."""

from pathlib import Path

from click.testing import CliRunner
from fulfil_cli.main import main

from tests.shipping_shop import sealed_shop


def test_a_label_printer_is_measured_and_moved(tmp_path: Path) -> None:
    """The frame of a 60 x 40 label is seen at 3.2 and 1.5 mm, it belongs at 2: 1.2 mm to the left, 0.5 down."""
    sealed_shop(tmp_path / "shop.db").close()

    def typed(*words: str) -> str:
        ran = CliRunner().invoke(
            main, ["printers", *words, "--shop", str(tmp_path / "shop.db")], catch_exceptions=False
        )
        assert ran.exit_code == 0, ran.output
        return ran.output

    typed("set", "bags", "--dpi", "203", "--media", "60x40", "--prints", "bag-labels", "--drawn-as", "zpl")
    typed("set", "unread", "--dpi", "300", "--media", "A4", "--prints", "checklist", "--sends-to", "nobody")
    printed = typed("calibrate", "bags", "--out", str(tmp_path / "papers"))

    assert "fulfil printers shift bags LEFT_MM TOP_MM" in printed
    assert (tmp_path / "papers" / "bags-calibration.zpl").read_bytes().startswith(b"^XA")
    assert "-1.2 mm to the right, +0.5 mm down" in typed("shift", "bags", "3.2", "1.5")
    assert "nobody" in typed("list")
