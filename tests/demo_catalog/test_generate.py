"""The generator and the checked-in files."""

from pathlib import Path

import pytest
from fulfil_demo_catalog import FOLDER
from fulfil_demo_catalog.generate import main, write_all
from fulfil_demo_catalog.generator.chance import Chance, Urn
from numpy.random import PCG64


def test_checked_in_files_are_what_the_generator_writes(tmp_path: Path) -> None:
    """Regenerating gives every checked-in file byte for byte, and no file is left over on either side."""
    written = write_all(tmp_path)

    made = {path.relative_to(tmp_path): path.read_bytes() for path in written}
    kept = {
        path.relative_to(FOLDER): path.read_bytes()
        for path in FOLDER.rglob("*")
        if path.suffix in (".csv", ".json") and "tables" not in path.parts
    }
    assert set(made) == set(kept)
    assert [name for name in made if made[name] != kept[name]] == []


def test_files_stay_small() -> None:
    """All files together keep below 4 MB."""
    assert (
        sum(
            path.stat().st_size
            for path in FOLDER.rglob("*")
            if path.suffix in (".csv", ".json") and "tables" not in path.parts
        )
        < 4_000_000
    )


def test_command_names_each_file_with_its_size(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The command line writes to --out and prints one line a file."""
    main(["--out", str(tmp_path / "shop")])

    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 24
    assert f"room.csv: {(tmp_path / 'shop' / 'room.csv').stat().st_size} bytes" in lines


def test_chance_is_the_raw_stream_of_pcg64() -> None:
    """The first draw of PCG64(1), as numpy's own documentation of raw streams allows to reproduce it."""
    chance = Chance("any")
    chance._bits = PCG64(1)

    assert chance.share() == pytest.approx((int(PCG64(1).random_raw()) >> 11) / 2**53, abs=2**-53)


def test_topics_have_streams_of_their_own() -> None:
    """Two topics draw differently, one topic twice the same."""
    first, again, other = Chance("a"), Chance("a"), Chance("b")
    draws = [first.share() for _ in range(5)]

    assert draws == [again.share() for _ in range(5)]
    assert draws != [other.share() for _ in range(5)]


def test_urn_draws_by_weight() -> None:
    """A choice of weight 3 against 1 comes up three times in four, within five standard errors."""
    chance, urn = Chance("urn"), Urn(("a", "b"), (3, 1))
    hits = sum(urn.draw(chance) == "a" for _ in range(10_000))

    assert abs(hits - 7500) < 5 * (10_000 * 0.75 * 0.25) ** 0.5
