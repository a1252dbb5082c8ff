"""``fulfil room`` and the hours of ``fulfil walks``: exit codes, and what is said to people."""

from click.testing import CliRunner
from fulfil_cli.main import main
from fulfil_demo_catalog import FOLDER


def test_a_room_with_something_off_must_be_acted_on(tmp_path):
    """Exit code 1, the finding with its line, and the drawing all the same."""
    for name in ("room.csv", "bins.csv"):
        text = (FOLDER / "rooms" / "odd" / name).read_text(encoding="utf-8")
        (tmp_path / name).write_text(text.replace("P1,right,1,1,600", "P1,right,1,1,6600"), encoding="utf-8")
    out = tmp_path / "room.png"

    ran = CliRunner().invoke(main, ["room", "check", "--folder", str(tmp_path), "--out", str(out)])

    assert ran.exit_code == 1
    assert "bins.csv, line 2, y_mm '6600': the bin P1-01 lies outside the room" in ran.stdout
    assert out.read_bytes().startswith(b"\x89PNG")


def test_the_demo_s_rooms_are_whole():
    """Exit code 0, and which kind of room it is."""
    for room, says in (("odd", "corners and passages"), ("three-cross-aisles", "several blocks")):
        ran = CliRunner().invoke(main, ["room", "check", "--folder", str(FOLDER / "rooms" / room)])

        assert ran.exit_code == 0
        assert says in ran.stdout
        assert "Nothing is off." in ran.stdout


def test_an_hour_that_is_none_is_wrong_use(tmp_path):
    """Exit code 2, with an example."""
    ran = CliRunner().invoke(main, ["walks", "schedule", "--begin", "25:00", "--shop", str(tmp_path / "none")])

    assert ran.exit_code == 2
    assert "'25:00' is no time such as 08:00" in ran.stderr
