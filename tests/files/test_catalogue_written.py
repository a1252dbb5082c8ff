"""What is written as a catalogue's files and read again is the same."""

from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fulfil.files.catalogue import FILES, Catalogue, read_catalogue
from fulfil.files.catalogue_written import catalogue_files, part_cells, plain_weights
from fulfil.quantities import parse_estimate, print_estimate
from fulfil.records.part import UnitWeight, WeightSource
from fulfil.records.tiny import PART
from tests.any_catalogue import catalogues


def _read(files: dict[str, bytes]) -> Catalogue:
    with TemporaryDirectory() as name:
        for file, content in files.items():
            (Path(name) / file).write_bytes(content)
        read = read_catalogue(Path(name))
    assert read.findings == ()
    assert read.catalogue is not None
    assert read.notes == ()
    return read.catalogue


def _by_key(catalogue: Catalogue) -> Catalogue:
    weights = sorted(catalogue.unit_weights, key=lambda one: (one.part_number, one.lot))
    return Catalogue(**{**vars(catalogue), "unit_weights": tuple(weights)})


@pytest.mark.slow
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large], deadline=None)
@given(catalogues())
def test_written_and_read_again_is_the_same(catalogue: Catalogue) -> None:
    """Every record of every file, with odd texts and learned weights; written again, the same bytes."""
    files = catalogue_files(catalogue)
    read = _read(files)

    assert _by_key(read) == catalogue
    assert catalogue_files(_by_key(read)) == files


def test_the_tiny_catalogue(folder: Path) -> None:
    """A catalogue typed by hand: every file is written, those that it hasn't got as headers."""
    read = read_catalogue(folder)
    assert read.catalogue is not None
    files = catalogue_files(read.catalogue)

    assert list(files) == list(FILES)
    assert read.catalogue.printers is None, "no file says which printers there are"
    assert _read(files) == replace(read.catalogue, printers=())
    assert files["zones.csv"] == b"service,country,zone\r\n"
    assert files["bins.csv"].splitlines()[1] == b"01L-01-1,1,left,1,1,600,BALL-3,,40,,"
    assert b"risk_pass,0.0005\r\n" in files["settings.csv"]


def test_what_parts_csv_can_t_say_goes_beside_it() -> None:
    """A sampled weight with the plain u = s / sqrt(n) stands with its part; a learned one has a file of its own."""
    plain = UnitWeight(part_number="BALL-3", lot="B", mean_g=0.1, u_g=0.002 / 10, piece_sd_g=0.002, sample_pieces=100,
                       source=WeightSource.SAMPLED)  # fmt: skip
    learned = plain.model_copy(update={"lot": "A", "u_g": 1e-5, "learned_n": 12})

    assert plain_weights([learned, plain]) == {"BALL-3": plain}
    assert plain_weights([learned]) == {}
    assert part_cells(PART, plain)["sample_pieces"] == "100"
    assert "sample_pieces" not in part_cells(PART, None)


@given(st.floats(min_value=0, max_value=1e15, exclude_max=True))
def test_an_estimate_comes_back_from_its_text(number: float) -> None:
    """Every float that isn't negative, down to the smallest; its text has no exponent."""
    text = print_estimate(number)

    assert "e" not in text.lower()
    assert parse_estimate(text) == number
